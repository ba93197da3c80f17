steelyard sheets_text vehicles/twayblade.lua --part transaxle --state "race start"
