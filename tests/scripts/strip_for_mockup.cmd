steelyard strip_for_mockup vehicles/twayblade.lua transaxle --limit 16
