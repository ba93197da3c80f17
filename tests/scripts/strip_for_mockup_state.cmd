steelyard strip_for_mockup vehicles/twayblade.lua --state mock-up --reach 400 --height 500
