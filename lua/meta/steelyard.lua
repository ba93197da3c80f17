---@meta steelyard

-- Made by `make docs`.

---@alias steelyard.what string|string[]
---@alias steelyard.number number|steelyard.uncertainty
---@alias steelyard.point steelyard.number[]|{x: steelyard.number, y: steelyard.number, z: steelyard.number}
---@alias steelyard.some_of_point steelyard.number[]|{x?: steelyard.number, y?: steelyard.number, z?: steelyard.number}
---@alias steelyard.trial fun(mm: number): number, {x: number, y: number, z: number}, number, number, number, ...

---@class steelyard.uncertainty
---@field value number
---@field sd number one standard deviation

---By axle: front and rear, or the axles' names.
---@class steelyard.by_axle
---@field front? steelyard.number
---@field rear? steelyard.number
---@field [string] steelyard.number

---What scales read at one go, in a record of a vehicle file: loads by wheel or axle, a list of repeats of one.
---@class steelyard.run
---@field pads? table<string, string|integer> under which wheel
---@field zero_before? steelyard.number|table<string|integer, steelyard.number> what empty pads showed
---@field zero_after? steelyard.number|table<string|integer, steelyard.number>
---@field facing? "forward"|"back"
---@field others? "blocks"|"floor"
---@field sd? number
---@field step? number
---@field name? string
---@field [string] steelyard.number|steelyard.number[]

---One number or word a variant; nil where it is not known.
---@class steelyard.column
---@field [integer] number|string
---@field list fun(self: steelyard.column): (number|string)[] all entries
---@field min fun(self: steelyard.column): number? least of what is known
---@field max fun(self: steelyard.column): number? greatest

---@class steelyard.unknown
---@class steelyard.item
---@class steelyard.shape

---Where something moves and turns. Lengths mm, angles deg.
---@class steelyard.move
---@field forward? number mm
---@field back? number mm
---@field left? number mm
---@field right? number mm
---@field up? number mm
---@field down? number mm
---@field out? number mm; pieces of a pair, or a part off the centre plane, away from it
---@field nose_up? number deg
---@field nose_down? number deg
---@field left_up? number deg
---@field right_up? number deg
---@field nose_left? number deg
---@field nose_right? number deg
---@field about? "origin"|"cg"|steelyard.point what a turn leaves in place

---@class steelyard.spec
---@field about? string what the script answers
---@field usage? string the command line, after "steelyard"
---@field examples? string[]
---@field args? table[]
---@field options? table<string, table>

---@class steelyard.options
---@field json boolean one JSON document instead of text
---@field quiet boolean no remarks on stderr
---@field [string] any

---What the file says under assume; vehicles/README.md explains each.
---@class steelyard.fields.assume
---@field estimate? number|string
---@field calculated? number|string
---@field supplier? number|string
---@field weighed? number|string
---@field within_mm? steelyard.number mm; 0 or more; up to 1000000
---@field shape? string density

---What the file says under axle; vehicles/README.md explains each.
---@class steelyard.fields.axle
---@field name string
---@field at steelyard.number mm; -1000000 or more; up to 1000000
---@field wheels? "one"|"two"|integer
---@field track? steelyard.number mm; above 0; up to 1000000
---@field loaded_radius? steelyard.number mm; above 0; up to 1000000
---@field tyre_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field tyre_lateral_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field spring_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field motion_ratio? steelyard.number|number[][] above 0; up to 100
---@field bar_rate? steelyard.number N/mm; 0 or more; up to 1000000000
---@field roll_centre? steelyard.number mm; -1000000 or more; up to 1000000
---@field perch_pitch? steelyard.number mm; above 0; up to 1000000
---@field bump? steelyard.number mm; 0 or more; up to 1000000
---@field droop? steelyard.number mm; 0 or more; up to 1000000
---@field bump_stop? steelyard.fields.bump_stop
---@field anti_dive? steelyard.number|steelyard.fields.instant_centre
---@field anti_lift? steelyard.number|steelyard.fields.instant_centre
---@field anti_squat? steelyard.number|steelyard.fields.instant_centre
---@field left? steelyard.fields.side
---@field right? steelyard.fields.side
---@field note? string

---What the file says under bump_stop; vehicles/README.md explains each.
---@class steelyard.fields.bump_stop
---@field gap steelyard.number mm; 0 or more; up to 1000000
---@field rate steelyard.number N/mm; above 0; up to 1000000000

---What the file says under chassis; vehicles/README.md explains each.
---@class steelyard.fields.chassis
---@field torsion? steelyard.number N m/deg; above 0; up to 1000000000
---@field note? string

---What the file says under clearance; vehicles/README.md explains each.
---@class steelyard.fields.clearance
---@field name string
---@field a string|steelyard.fields.place
---@field b string|steelyard.fields.place
---@field asked? steelyard.number mm; 0 or more; up to 1000000
---@field leaves? {forward?: number, back?: number, left?: number, right?: number, up?: number, down?: number}
---@field note? string

---What the file says under group; vehicles/README.md explains each.
---@class steelyard.fields.group
---@field [integer] steelyard.item what is in it
---@field at? steelyard.point
---@field turned? steelyard.move
---@field whole? steelyard.number|steelyard.fields.whole kg; above 0; up to 100000
---@field weighed? steelyard.fields.weighed
---@field unaccounted? boolean
---@field tags? string|string[]
---@field note? string

---What the file says under instant_centre; vehicles/README.md explains each.
---@class steelyard.fields.instant_centre
---@field angle steelyard.number deg; -60 or more; up to 60

---What the file says under instrument; vehicles/README.md explains each.
---@class steelyard.fields.instrument
---@field name string
---@field unit? string kg, g, lb, oz
---@field sd? steelyard.number 0 or more
---@field step? steelyard.number above 0
---@field range? steelyard.number above 0
---@field bias? steelyard.number
---@field gain? steelyard.number above 0
---@field each? steelyard.fields.pad
---@field certificate? string
---@field note? string

---What the file says under joint; vehicles/README.md explains each.
---@class steelyard.fields.joint
---@field part? string
---@field wheel? string
---@field at? steelyard.point
---@field axis? number[]|{x?: number, y?: number, z?: number}
---@field pivot? steelyard.point
---@field hinge? number[]|{x?: number, y?: number, z?: number}
---@field path? number[][]
---@field steer? steelyard.number deg; 0 or more; up to 80

---What the file says under limit; vehicles/README.md explains each.
---@class steelyard.fields.limit
---@field name? string
---@field quantity string
---@field min? number
---@field max? number
---@field state? string|string[]
---@field near? number
---@field note? string

---What the file says under lowered; vehicles/README.md explains each.
---@class steelyard.fields.lowered
---@field front? steelyard.number mm; -500 or more; up to 500
---@field rear? steelyard.number mm; -500 or more; up to 500

---What the file says under pad; vehicles/README.md explains each.
---@class steelyard.fields.pad
---@field bias? steelyard.number
---@field gain? steelyard.number above 0

---What the file says under part; vehicles/README.md explains each.
---@class steelyard.fields.part
---@field mass? steelyard.number|steelyard.unknown kg; 0 or more; up to 100000
---@field inertia? number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}
---@field count? integer
---@field at steelyard.point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field pair? boolean
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---What the file says under person; vehicles/README.md explains each.
---@class steelyard.fields.person
---@field mass? steelyard.number|steelyard.unknown kg; 0 or more; up to 100000
---@field inertia? number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}
---@field hip? steelyard.point
---@field stature? steelyard.number mm; 500 or more; up to 2500
---@field torso? steelyard.number deg; -45 or more; up to 90
---@field knee? steelyard.number deg; 20 or more; up to 180
---@field thigh? steelyard.number deg; -90 or more; up to 90
---@field ankle? steelyard.number deg; 45 or more; up to 180
---@field shoulder? steelyard.number deg; -45 or more; up to 180
---@field elbow? steelyard.number deg; 20 or more; up to 180
---@field head? steelyard.number deg; -45 or more; up to 90
---@field segments? string men, women
---@field at? steelyard.point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field pair? boolean
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---What the file says under place; vehicles/README.md explains each.
---@class steelyard.fields.place
---@field part? string
---@field wheel? string
---@field at? steelyard.point
---@field to? steelyard.point
---@field radius? steelyard.number mm; above 0; up to 1000000

---What the file says under point; vehicles/README.md explains each.
---@class steelyard.fields.point
---@field at steelyard.point
---@field part? string
---@field note? string

---What the file says under record; vehicles/README.md explains each.
---@class steelyard.fields.record
---@field kind string corners, axles, lift, ride heights, assembly
---@field of? string
---@field state? string
---@field fill? table<string, steelyard.number|string>
---@field with? string|string[]
---@field without? string|string[]
---@field date? string
---@field instrument? string
---@field who? string
---@field file? string
---@field from? string
---@field corners? steelyard.run|steelyard.run[]
---@field axles? steelyard.run|steelyard.run[]
---@field heights? table<string, steelyard.number>
---@field mass? steelyard.number kg; above 0; up to 100000
---@field cg? steelyard.point
---@field inertia? {xx?: steelyard.number, yy?: steelyard.number, zz?: steelyard.number, xy?: steelyard.number, xz?: steelyard.number, yz?: steelyard.number}
---@field pads? table<string, string|integer>
---@field note? string

---What the file says under shaft; vehicles/README.md explains each.
---@class steelyard.fields.shaft
---@field name string
---@field inner? steelyard.fields.joint
---@field outer? steelyard.fields.joint
---@field joint string cv, cardan
---@field axis? number[]|{x?: number, y?: number, z?: number}
---@field static_limit? steelyard.number deg; above 0; up to 90
---@field worst_limit? steelyard.number deg; above 0; up to 90
---@field plunge_limit? steelyard.number mm; above 0; up to 1000000
---@field cut_length? steelyard.number mm; above 0; up to 1000000
---@field phase? steelyard.number deg; -360 or more; up to 360
---@field note? string

---What the file says under side; vehicles/README.md explains each.
---@class steelyard.fields.side
---@field at? steelyard.number mm; -1000000 or more; up to 1000000
---@field half_track? steelyard.number mm; above 0; up to 1000000
---@field loaded_radius? steelyard.number mm; above 0; up to 1000000
---@field tyre_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field spring_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field motion_ratio? steelyard.number|number[][] above 0; up to 100
---@field perch_pitch? steelyard.number mm; above 0; up to 1000000
---@field bump? steelyard.number mm; 0 or more; up to 1000000
---@field droop? steelyard.number mm; 0 or more; up to 1000000
---@field note? string

---What the file says under stand_in; vehicles/README.md explains each.
---@class steelyard.fields.stand_in
---@field mass steelyard.number|steelyard.unknown kg; 0 or more; up to 100000
---@field at? steelyard.point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field note? string

---What the file says under state; vehicles/README.md explains each.
---@class steelyard.fields.state
---@field with? string|string[]
---@field without? string|string[]
---@field fill? table<string, steelyard.number|string>
---@field swap? table<string, string>
---@field stand_ins? boolean
---@field note? string

---What the file says under tank; vehicles/README.md explains each.
---@class steelyard.fields.tank
---@field density steelyard.number kg/L; above 0; up to 30
---@field unusable? steelyard.number litre; 0 or more
---@field pick_up? steelyard.point
---@field capacity? steelyard.number litre; above 0
---@field fill steelyard.number|string
---@field dry_mass? steelyard.number kg; 0 or more; up to 100000
---@field at steelyard.point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field pair? boolean
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---What the file says under vehicle; vehicles/README.md explains each.
---@class steelyard.fields.vehicle
---@field title? string
---@field date? string
---@field axes? {x: string, y: string, z: string}
---@field ground? steelyard.number mm; -1000000 or more; up to 1000000
---@field centre? steelyard.number mm; -1000000 or more; up to 1000000
---@field axles steelyard.fields.axle[]
---@field chassis? steelyard.fields.chassis
---@field lowered? steelyard.fields.lowered
---@field design? string
---@field cross_share? steelyard.number %; above 0; up to 100
---@field cross_weight? steelyard.number|string
---@field assume? steelyard.fields.assume
---@field instruments? steelyard.fields.instrument[]
---@field parts steelyard.item[]
---@field spares? steelyard.item[]
---@field states? steelyard.item[]
---@field points? table<string, steelyard.point|steelyard.fields.point>
---@field shafts? steelyard.fields.shaft[]
---@field clearances? steelyard.fields.clearance[]
---@field limits? (steelyard.item|steelyard.fields.limit)[]
---@field records? steelyard.item[]
---@field note? string

---What the file says under weighed; vehicles/README.md explains each.
---@class steelyard.fields.weighed
---@field reading steelyard.number|steelyard.number[]
---@field unit? string kg, g, lb, oz
---@field instrument? string
---@field on? steelyard.number|string
---@field zero_before? steelyard.number
---@field zero_after? steelyard.number
---@field tare? steelyard.number
---@field with? table<string, steelyard.number>
---@field pieces? integer
---@field note? string

---What the file says under whole; vehicles/README.md explains each.
---@class steelyard.fields.whole
---@field mass steelyard.number kg; above 0; up to 100000
---@field cg? steelyard.point
---@field inertia? number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}

---Some of the fields of part, for car:set.
---@class steelyard.set.part
---@field mass? steelyard.number|steelyard.unknown kg; 0 or more; up to 100000
---@field inertia? number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}
---@field count? integer
---@field at? steelyard.some_of_point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---Some of the fields of group, for car:set.
---@class steelyard.set.group
---@field at? steelyard.some_of_point
---@field turned? steelyard.move
---@field whole? steelyard.number|steelyard.fields.whole kg; above 0; up to 100000
---@field weighed? steelyard.fields.weighed
---@field unaccounted? boolean
---@field tags? string|string[]
---@field note? string

---Some of the fields of tank, for car:set.
---@class steelyard.set.tank
---@field density? steelyard.number kg/L; above 0; up to 30
---@field unusable? steelyard.number litre; 0 or more
---@field pick_up? steelyard.some_of_point
---@field capacity? steelyard.number litre; above 0
---@field fill? steelyard.number|string
---@field dry_mass? steelyard.number kg; 0 or more; up to 100000
---@field at? steelyard.some_of_point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---Some of the fields of person, for car:set.
---@class steelyard.set.person
---@field mass? steelyard.number|steelyard.unknown kg; 0 or more; up to 100000
---@field inertia? number[]|{xx: number, yy: number, zz: number, xy?: number, xz?: number, yz?: number}
---@field hip? steelyard.some_of_point
---@field stature? steelyard.number mm; 500 or more; up to 2500
---@field torso? steelyard.number deg; -45 or more; up to 90
---@field knee? steelyard.number deg; 20 or more; up to 180
---@field thigh? steelyard.number deg; -90 or more; up to 90
---@field ankle? steelyard.number deg; 45 or more; up to 180
---@field shoulder? steelyard.number deg; -45 or more; up to 180
---@field elbow? steelyard.number deg; 20 or more; up to 180
---@field head? steelyard.number deg; -45 or more; up to 90
---@field segments? string men, women
---@field at? steelyard.some_of_point
---@field within_mm? number mm; 0 or more; up to 1000000
---@field turned? steelyard.move
---@field shape? steelyard.shape
---@field basis? string estimate, calculated, supplier, weighed
---@field unsprung? string|table<string, number>
---@field tags? string|string[]
---@field includes? string|string[]
---@field excludes? string|string[]
---@field bolted_to? string|string[]
---@field growth? number|string
---@field stand_in? steelyard.fields.stand_in
---@field note? string
---@field instrument? string
---@field scale? steelyard.number|string
---@field weighed? steelyard.fields.weighed
---@field was? steelyard.number|steelyard.fields.whole kg; 0 or more; up to 100000

---Some of the fields of axle, for car:set.
---@class steelyard.set.axle
---@field track? steelyard.number mm; above 0; up to 1000000
---@field loaded_radius? steelyard.number mm; above 0; up to 1000000
---@field tyre_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field tyre_lateral_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field spring_rate? steelyard.number N/mm; above 0; up to 1000000000
---@field motion_ratio? steelyard.number|number[][] above 0; up to 100
---@field bar_rate? steelyard.number N/mm; 0 or more; up to 1000000000
---@field roll_centre? steelyard.number mm; -1000000 or more; up to 1000000
---@field perch_pitch? steelyard.number mm; above 0; up to 1000000
---@field bump? steelyard.number mm; 0 or more; up to 1000000
---@field droop? steelyard.number mm; 0 or more; up to 1000000
---@field bump_stop? steelyard.fields.bump_stop
---@field anti_dive? steelyard.number|steelyard.fields.instant_centre
---@field anti_lift? steelyard.number|steelyard.fields.instant_centre
---@field anti_squat? steelyard.number|steelyard.fields.instant_centre
---@field left? steelyard.fields.side
---@field right? steelyard.fields.side
---@field note? string

---@alias steelyard.set steelyard.set.part|steelyard.set.group|steelyard.set.tank|steelyard.set.person|steelyard.set.axle

---By wheel, those that there are: of two axles, or of more by their number from the front.
---@class steelyard.wheels
---@field lf? number kg; left front
---@field rf? number kg; right front
---@field lr? number kg; left rear
---@field rr? number kg; right rear
---@field f? number kg; single front wheel
---@field r? number kg; single rear wheel
---@field l1? number kg; left wheel of axle 1
---@field c1? number kg; single wheel of axle 1
---@field r1? number kg; right wheel of axle 1
---@field l2? number kg; left wheel of axle 2
---@field c2? number kg; single wheel of axle 2
---@field r2? number kg; right wheel of axle 2
---@field l3? number kg; left wheel of axle 3
---@field c3? number kg; single wheel of axle 3
---@field r3? number kg; right wheel of axle 3
---@field l4? number kg; left wheel of axle 4
---@field c4? number kg; single wheel of axle 4
---@field r4? number kg; right wheel of axle 4
---@field l5? number kg; left wheel of axle 5
---@field c5? number kg; single wheel of axle 5
---@field r5? number kg; right wheel of axle 5
---@field l6? number kg; left wheel of axle 6
---@field c6? number kg; single wheel of axle 6
---@field r6? number kg; right wheel of axle 6
---@field l7? number kg; left wheel of axle 7
---@field c7? number kg; single wheel of axle 7
---@field r7? number kg; right wheel of axle 7
---@field l8? number kg; left wheel of axle 8
---@field c8? number kg; single wheel of axle 8
---@field r8? number kg; right wheel of axle 8

---Part of steelyard.balance.sd.
---@class steelyard.balance.sd.cg
---@field x number mm; standard uncertainty
---@field y number mm; standard uncertainty
---@field z number mm; standard uncertainty

---Part of steelyard.balance.sd.
---@class steelyard.balance.sd.inertia
---@field xx number kg m2; standard uncertainty
---@field yy number kg m2; standard uncertainty
---@field zz number kg m2; standard uncertainty
---@field xy number kg m2; standard uncertainty
---@field xz number kg m2; standard uncertainty
---@field yz number kg m2; standard uncertainty

---Part of steelyard.balance.sd.sprung.
---@class steelyard.balance.sd.sprung.cg
---@field x? number mm; standard uncertainty
---@field y? number mm; standard uncertainty
---@field z? number mm; standard uncertainty

---Part of steelyard.balance.sd.
---@class steelyard.balance.sd.sprung
---@field mass number kg; standard uncertainty
---@field cg steelyard.balance.sd.sprung.cg

---Part of steelyard.balance.sd.unsprung.
---@class steelyard.balance.sd.unsprung.cg
---@field x? number mm; standard uncertainty
---@field y? number mm; standard uncertainty
---@field z? number mm; standard uncertainty

---Part of steelyard.balance.sd.
---@class steelyard.balance.sd.unsprung
---@field mass number kg; standard uncertainty
---@field cg steelyard.balance.sd.unsprung.cg

---Standard uncertainties.
---@class steelyard.balance.sd : steelyard.wheels
---@field mass number kg; standard uncertainty
---@field front number kg; standard uncertainty
---@field rear number kg; standard uncertainty
---@field left number kg; standard uncertainty
---@field right number kg; standard uncertainty
---@field front_share number %; standard uncertainty
---@field left_share number %; standard uncertainty
---@field cross_share? number %; standard uncertainty
---@field diagonal_ratio? number standard uncertainty
---@field cg steelyard.balance.sd.cg
---@field height number mm; standard uncertainty
---@field cg_behind number mm; standard uncertainty
---@field cg_left number mm; standard uncertainty
---@field yaw_inertia number kg m2; standard uncertainty
---@field yaw_index number standard uncertainty
---@field yaw_inertia_rear number kg m2; standard uncertainty
---@field pitch_inertia number kg m2; standard uncertainty
---@field inertia steelyard.balance.sd.inertia
---@field sprung steelyard.balance.sd.sprung
---@field unsprung steelyard.balance.sd.unsprung
---@field axle table<string, number> kg; standard uncertainty

---Part of steelyard.balance.
---@class steelyard.balance.cg
---@field x number mm; centre of gravity along the file's x
---@field y number mm; centre of gravity along the file's y
---@field z number mm; centre of gravity along the file's z

---Part of steelyard.balance.
---@class steelyard.balance.inertia
---@field xx number kg m2; about the file's x through the CG
---@field yy number kg m2; about the file's y through the CG
---@field zz number kg m2; about the file's z through the CG
---@field xy number kg m2; tensor entry, minus the integral of x y dm
---@field xz number kg m2; tensor entry, minus the integral of x z dm
---@field yz number kg m2; tensor entry, minus the integral of y z dm

---Part of steelyard.balance.sprung.
---@class steelyard.balance.sprung.cg
---@field x? number mm; centre of what the springs carry
---@field y? number mm; the same
---@field z? number mm; the same

---Part of steelyard.balance.
---@class steelyard.balance.sprung
---@field mass number kg; what the springs carry
---@field cg steelyard.balance.sprung.cg

---Part of steelyard.balance.unsprung.
---@class steelyard.balance.unsprung.cg
---@field x? number mm; centre of what the wheels carry
---@field y? number mm; the same
---@field z? number mm; the same

---Part of steelyard.balance.
---@class steelyard.balance.unsprung
---@field mass number kg; what the wheels carry directly
---@field cg steelyard.balance.unsprung.cg
---@field axle table<string, number> kg; unsprung mass by axle name

---Part of steelyard.balance.
---@class steelyard.balance.unstated
---@field parts number how many have no stated uncertainty and count as exact
---@field mass_share number %; their share of the mass

---Part of steelyard.balance.
---@class steelyard.balance.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.balance.
---@class steelyard.balance.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.balance.
---@class steelyard.balance.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.balance.
---@class steelyard.balance.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.balance.
---@class steelyard.balance.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:balance gives. Loads are what scales read, in kg.
---@class steelyard.balance : steelyard.wheels
---@field mass number kg; total of everything aboard
---@field mass_with_growth number kg; the same with the growth allowances of parts: their own, else by basis
---@field front number kg; load on the first axle
---@field rear number kg; load on all other axles
---@field left number kg; load on the left wheels, a wheel on the centre line counting half
---@field right number kg; load on the right wheels
---@field front_share number %; front axle load by total
---@field left_share number %; left load by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number (right front + left rear) / (left front + right rear)
---@field cg steelyard.balance.cg
---@field height number mm; centre of gravity above the ground
---@field cg_behind number mm; fore-aft place of the centre of gravity, whatever the file's axes
---@field cg_left number mm; sideways place of the centre of gravity, left positive, whatever the file's axes
---@field yaw_inertia number kg m2; moment of inertia about the upright axis through the CG
---@field yaw_index number yaw inertia / (mass x CG to front axle x CG to rear axle)
---@field yaw_inertia_rear number kg m2; moment of inertia about the upright axis through the middle of the last axle
---@field pitch_inertia number kg m2; moment of inertia about the cross axis through the CG, of the whole car
---@field inertia steelyard.balance.inertia
---@field sprung steelyard.balance.sprung
---@field unsprung steelyard.balance.unsprung
---@field wheelbase number mm; first to last axle
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field axle table<string, number> kg; load by axle name
---@field corner_basis string where the wheel loads come from
---@field lifted string[] wheels with a negative load: the car would tip
---@field parts number how many parts are aboard
---@field points number how many of them have no shape, so that inertia is "at least"
---@field unknown number how many have no known mass and are in no total
---@field unstated steelyard.balance.unstated
---@field changes? table<string, number> of car:ballast: against the car without it, by quantity
---@field changes_sd? table<string, number> their standard uncertainties
---@field limits? steelyard.balance.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.balance.aboard[]
---@field file? steelyard.balance.file
---@field readings_file? steelyard.balance.readings_file
---@field other_files? steelyard.balance.other_files[]
---@field version? string of steelyard
---@field sd steelyard.balance.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.balance, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.saved.sd

---Part of steelyard.saved.
---@class steelyard.saved.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.saved.
---@class steelyard.saved.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.saved.
---@class steelyard.saved.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.saved.
---@class steelyard.saved.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:save gives.
---@class steelyard.saved
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field path string of the file that is written
---@field kept? string where the file that lay there before is kept
---@field rewritten string[] what could not be edited in place and is written anew: paths of parts, or the whole file
---@field aboard? steelyard.saved.aboard[]
---@field file? steelyard.saved.file
---@field readings_file? steelyard.saved.readings_file
---@field other_files? steelyard.saved.other_files[]
---@field version? string of steelyard
---@field sd steelyard.saved.sd standard uncertainties under the same names

---Part of steelyard.person.sd.
---@class steelyard.person.sd.cg
---@field x number mm; standard uncertainty
---@field y number mm; standard uncertainty
---@field z number mm; standard uncertainty

---Part of steelyard.person.sd.
---@class steelyard.person.sd.heels
---@field forward number mm; standard uncertainty
---@field up number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.person.sd
---@field mass number kg; standard uncertainty
---@field cg steelyard.person.sd.cg
---@field lower_legs number kg; standard uncertainty
---@field heels steelyard.person.sd.heels
---@field heels_least? number kg; standard uncertainty
---@field heels_most? number kg; standard uncertainty

---Part of steelyard.person.
---@class steelyard.person.cg
---@field x number mm; of the person, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.person.
---@class steelyard.person.heels
---@field forward number mm; from the hips, as the person sits
---@field up number mm; the same

---Part of steelyard.person.
---@class steelyard.person.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.person.
---@class steelyard.person.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.person.
---@class steelyard.person.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.person.
---@class steelyard.person.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:person gives.
---@class steelyard.person
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field name string as in the file
---@field mass number kg; of the person
---@field cg steelyard.person.cg
---@field lower_legs number kg; shanks and feet
---@field lower_legs_share number %; of the person
---@field heels steelyard.person.heels
---@field heels_least? number kg; on a pad under the heels when the seat carries thighs and knees
---@field heels_most? number kg; the same when nothing carries the legs between hips and heels
---@field aboard? steelyard.person.aboard[]
---@field file? steelyard.person.file
---@field readings_file? steelyard.person.readings_file
---@field other_files? steelyard.person.other_files[]
---@field version? string of steelyard
---@field sd steelyard.person.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.body_inertia.sd
---@field roll_inertia number kg m2; standard uncertainty
---@field pitch_inertia number kg m2; standard uncertainty
---@field yaw_inertia number kg m2; standard uncertainty
---@field inertia table<string, number> kg m2; of each entry
---@field principal number[] kg m2; of each moment

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.cg
---@field x number mm; file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.about
---@field x number mm; the point, or the CG
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.principal
---@field moment number kg m2; the least first
---@field axis number[] its direction: three numbers forward, left, up
---@field near string fore-aft, across or upright: what it lies nearest to
---@field off number deg; from there

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.body_inertia.
---@class steelyard.body_inertia.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:inertia gives.
---@class steelyard.body_inertia
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field name? string what was asked about; nothing for the car
---@field mass number kg; of it
---@field cg steelyard.body_inertia.cg
---@field point? string the point asked for
---@field about steelyard.body_inertia.about
---@field inertia table<string, number> kg m2; xx yy zz xy xz yz about that point, file axes, products with tensor sign
---@field roll_inertia number kg m2; about a fore-aft line through that point
---@field pitch_inertia number kg m2; across
---@field yaw_inertia number kg m2; upright
---@field principal steelyard.body_inertia.principal[]
---@field parts number aboard in it
---@field points number of these without a shape: the inertia is at least that
---@field aboard? steelyard.body_inertia.aboard[]
---@field file? steelyard.body_inertia.file
---@field readings_file? steelyard.body_inertia.readings_file
---@field other_files? steelyard.body_inertia.other_files[]
---@field version? string of steelyard
---@field sd steelyard.body_inertia.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.dipstick.sd

---Part of steelyard.dipstick.
---@class steelyard.dipstick.rows
---@field height number mm; above the lowest point, square to the surface
---@field litres number litre; up to there

---Part of steelyard.dipstick.
---@class steelyard.dipstick.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.dipstick.
---@class steelyard.dipstick.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.dipstick.
---@class steelyard.dipstick.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.dipstick.
---@class steelyard.dipstick.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:dipstick gives; of a pair, of one of the two.
---@class steelyard.dipstick
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field name string as in the file
---@field capacity number litre; brim-full
---@field litres number litre; in it now
---@field height number mm; of these, above the lowest point of the tank as it leans
---@field deepest number mm; of the brim
---@field nose_up number deg; as asked; below 0: down
---@field left_up number deg; the same; below 0: the right side
---@field rows steelyard.dipstick.rows[]
---@field aboard? steelyard.dipstick.aboard[]
---@field file? steelyard.dipstick.file
---@field readings_file? steelyard.dipstick.readings_file
---@field other_files? steelyard.dipstick.other_files[]
---@field version? string of steelyard
---@field sd steelyard.dipstick.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.tank.sd
---@field litres number litre; standard uncertainty
---@field unusable? number litre; standard uncertainty
---@field usable? number litre; standard uncertainty
---@field under? number[] litre; of what cannot be drawn, force by force

---Part of steelyard.tank.
---@class steelyard.tank.under
---@field asked string the steady force, where the file gives a pick-up
---@field braking number g; 0 without
---@field drive number g; 0 without
---@field left_turn number g; 0 without
---@field right_turn number g; 0 without
---@field unusable number litre; cannot be drawn then
---@field dry boolean the pick-up draws air with what is in the tank now

---Part of steelyard.tank.
---@class steelyard.tank.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.tank.
---@class steelyard.tank.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.tank.
---@class steelyard.tank.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.tank.
---@class steelyard.tank.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:tank gives, in litres; of a pair, of one of the two.
---@class steelyard.tank
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field name string as in the file
---@field capacity? number litre; brim-full
---@field litres number litre; in it now
---@field unusable? number litre; cannot be drawn, level as drawn; nothing where the file says nothing of it
---@field usable? number litre; in it beyond that
---@field under? steelyard.tank.under[]
---@field aboard? steelyard.tank.aboard[]
---@field file? steelyard.tank.file
---@field readings_file? steelyard.tank.readings_file
---@field other_files? steelyard.tank.other_files[]
---@field version? string of steelyard
---@field sd steelyard.tank.sd standard uncertainties under the same names

---Part of steelyard.book.sd.
---@class steelyard.book.sd.cg
---@field x number mm; the same
---@field y number mm; the same
---@field z number mm; the same

---Standard uncertainties.
---@class steelyard.book.sd
---@field mass number kg; of the total
---@field cg steelyard.book.sd.cg

---Part of steelyard.book.rows.sd.
---@class steelyard.book.rows.sd.cg
---@field x number mm; standard uncertainty
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.book.rows.
---@class steelyard.book.rows.sd
---@field each? number kg; standard uncertainty
---@field mass number kg; standard uncertainty
---@field cg? steelyard.book.rows.sd.cg

---Part of steelyard.book.rows.
---@class steelyard.book.rows.cg
---@field x number mm; file axes
---@field y number mm; file axes
---@field z number mm; file axes

---Part of steelyard.book.rows.closure.
---@class steelyard.book.rows.closure.moment
---@field x number kg m; booked beside it, beyond its mass at the parts' CG, along the file's axes
---@field y number kg m; the same
---@field z number kg m; the same

---Part of steelyard.book.rows.closure.
---@class steelyard.book.rows.closure.cg
---@field x number mm; where the CG of the whole was measured, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.book.rows.closure.
---@class steelyard.book.rows.closure.cg_gap
---@field x number mm; that less the parts' CG
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.book.rows.closure.
---@class steelyard.book.rows.closure.cg_sd
---@field x number mm; of that gap
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.book.rows.closure.
---@class steelyard.book.rows.closure.cg_sigmas
---@field x? number the gap by its sd
---@field y? number the same
---@field z? number the same

---Part of steelyard.book.rows.
---@class steelyard.book.rows.closure
---@field whole number kg; a group weighed as a whole; only where the file has one
---@field sum number kg; what its booked parts come to
---@field gap number kg; whole - sum
---@field sd number kg; of the gap
---@field sigmas? number gap / sd
---@field closes boolean gaps of mass and CG within their 95 %
---@field booked? number kg; booked as unaccounted, where the group asks for it; may be below 0
---@field moment? steelyard.book.rows.closure.moment
---@field cg? steelyard.book.rows.closure.cg
---@field cg_gap? steelyard.book.rows.closure.cg_gap
---@field cg_sd? steelyard.book.rows.closure.cg_sd
---@field cg_sigmas? steelyard.book.rows.closure.cg_sigmas
---@field suspects? steelyard.closure.suspects[] lines that would explain a gap, as in the result of sy.closure

---Part of steelyard.book.rows.
---@class steelyard.book.rows.was
---@field mass? number kg; as it was booked before, all pieces; of a tank: dry. No mass where it was unknown
---@field sd? number kg; its standard uncertainty
---@field basis? string where it came from
---@field unknown? boolean true when it was not known

---Part of steelyard.book.rows.weighed.
---@class steelyard.book.rows.weighed.with
---@field name string what else was on
---@field mass number in its unit

---Part of steelyard.book.rows.
---@class steelyard.book.rows.weighed
---@field reading number[] a weighing record, as read, in its unit
---@field unit string kg g lb or oz
---@field on? string the instrument
---@field zero_before? number in its unit
---@field zero_after? number the same
---@field tare? number the same
---@field with? steelyard.book.rows.weighed.with[]
---@field pieces number weighed together
---@field note? string as in the file

---Part of steelyard.book.
---@class steelyard.book.rows
---@field name string as in the file
---@field path string with its groups: group/part
---@field depth number groups around it
---@field kind string part, group, tank or person
---@field mass number kg; all pieces together
---@field correction? number kg; what records of the car add to it; of a car as measured
---@field pieces number 2 for a pair, the count else
---@field each? number kg; one piece, where there are several: what car:set takes
---@field sd steelyard.book.rows.sd
---@field cg? steelyard.book.rows.cg
---@field moment? number kg m; about the front axle, behind it positive
---@field share? number %; of the mass of the car
---@field basis? string estimate, calculated, supplier or weighed
---@field carrier? string body, or the axle or wheel that carries it
---@field aboard boolean in this load state
---@field growth number kg; growth allowance
---@field unknown? boolean true when the mass is not known
---@field note? string as in the file
---@field closure? steelyard.book.rows.closure
---@field was? steelyard.book.rows.was
---@field weighed? steelyard.book.rows.weighed
---@field gap? boolean what a weighed whole has beyond its parts: a mass and a moment without a place

---Part of steelyard.book.total.
---@class steelyard.book.total.cg
---@field x number mm; file axes
---@field y number mm; file axes
---@field z number mm; file axes

---Part of steelyard.book.
---@class steelyard.book.total
---@field correction? number kg; the same, of all that is aboard
---@field mass number kg; of everything aboard
---@field mass_with_growth number kg; with allowances
---@field cg steelyard.book.total.cg

---Part of steelyard.book.
---@class steelyard.book.by_scale
---@field name string an instrument that weighed something of this; only where there is one
---@field parts number how many lines
---@field mass number kg; of these
---@field sd number kg; standard uncertainty that they have in common: of bias and gain

---Part of steelyard.book.
---@class steelyard.book.by_basis
---@field name string a basis
---@field mass number kg; aboard on that basis
---@field parts number how many lines

---Part of steelyard.book.
---@class steelyard.book.by_group
---@field name string a group or a part outside all groups
---@field mass number kg; aboard in it
---@field parts number how many lines

---Part of steelyard.book.
---@class steelyard.book.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.book.
---@class steelyard.book.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.book.
---@class steelyard.book.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.book.
---@class steelyard.book.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.book.
---@class steelyard.book.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:book gives.
---@class steelyard.book
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field rows steelyard.book.rows[]
---@field total steelyard.book.total
---@field by_scale? steelyard.book.by_scale[]
---@field by_basis steelyard.book.by_basis[]
---@field by_group steelyard.book.by_group[]
---@field limits? steelyard.book.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.book.aboard[]
---@field file? steelyard.book.file
---@field readings_file? steelyard.book.readings_file
---@field other_files? steelyard.book.other_files[]
---@field version? string of steelyard
---@field sd steelyard.book.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.book, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.guesses.sd
---@field assume table<string, number> %; of each, by basis

---Part of steelyard.guesses.lines.
---@class steelyard.guesses.lines.sd
---@field was? number kg; standard uncertainty, as stated or assumed
---@field is? number kg; the same

---Part of steelyard.guesses.
---@class steelyard.guesses.lines
---@field path string a weighed line whose earlier mass is known
---@field group string the outermost around it
---@field basis string of the guess: estimate, calculated, supplier, or not stated
---@field was number kg; as booked before
---@field is number kg; as weighed
---@field error number %; of the guess; positive: came out heavier
---@field inside? boolean within its 95 %, or the limits that were stated; none where nothing was
---@field from? string the earlier file that the guess stands in
---@field sd steelyard.guesses.lines.sd

---Part of steelyard.guesses.rows.
---@class steelyard.guesses.rows.sd
---@field bias? number %; standard uncertainty
---@field rms number %; the same

---Part of steelyard.guesses.
---@class steelyard.guesses.rows
---@field by string basis, group or all
---@field name string of the basis or group
---@field lines number how many
---@field bias number %; mean error
---@field scatter? number %; standard deviation of the errors about it, of two lines or more
---@field rms number %; root of the mean of the errors' squares: what assume would have been honest
---@field inside number how many lay inside what was stated
---@field stated number of so many that stated it
---@field was number kg; sum of the guesses
---@field is number kg; sum as weighed
---@field sd steelyard.guesses.rows.sd

---Part of steelyard.guesses.
---@class steelyard.guesses.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.guesses.
---@class steelyard.guesses.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.guesses.
---@class steelyard.guesses.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.guesses.
---@class steelyard.guesses.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:guesses gives. Masses are of one piece, of a tank dry; errors are (weighed - guess) / guess.
---@class steelyard.guesses
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field lines steelyard.guesses.lines[]
---@field rows steelyard.guesses.rows[]
---@field assume table<string, number> %; rms by basis
---@field aboard? steelyard.guesses.aboard[]
---@field file? steelyard.guesses.file
---@field readings_file? steelyard.guesses.readings_file
---@field other_files? steelyard.guesses.other_files[]
---@field version? string of steelyard
---@field sd steelyard.guesses.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.checks.sd
---@field [integer] number of each value, by its place in the list

---Part of steelyard.checks.
---@class steelyard.checks.entry
---@field name string of the limit
---@field state? string in which it is judged, where the limit names one
---@field quantity string what is limited
---@field unit string of its numbers
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.checks.
---@class steelyard.checks.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.checks.
---@class steelyard.checks.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.checks.
---@class steelyard.checks.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.checks.
---@class steelyard.checks.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:checks gives: a list with the fields below in each entry, and the others beside the list.
---@class steelyard.checks
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.checks.entry
---@field status string the worst of fail > unknown > near > pass
---@field aboard? steelyard.checks.aboard[]
---@field file? steelyard.checks.file
---@field readings_file? steelyard.checks.readings_file
---@field other_files? steelyard.checks.other_files[]
---@field version? string of steelyard
---@field sd steelyard.checks.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.comparison.sd
---@field [string] number[] of each row by the name of its quantity, as in the row

---Part of steelyard.comparison.
---@class steelyard.comparison.rows
---@field name string the quantity
---@field label string in words
---@field unit string of all numbers in the row
---@field decimals number as its values are printed
---@field change_decimals number as its changes are printed
---@field values (number|string)[] numbers, or "unknown"
---@field changes (number|string)[] against the baseline, or "unknown"
---@field sd number[] standard uncertainty: of the baseline first, then of each change
---@field clear boolean[] the change is more than its own 95 %
---@field verdicts? string[] how each stands to its limit, such as "pass <7", where there is one
---@field words? boolean true when the values are texts

---Part of steelyard.comparison.
---@class steelyard.comparison.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.comparison.
---@class steelyard.comparison.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.comparison.
---@class steelyard.comparison.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.comparison.
---@class steelyard.comparison.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.comparison.
---@class steelyard.comparison.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.compare gives. Lists by column; the first column is the baseline.
---@class steelyard.comparison
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field columns string[] headings
---@field rows steelyard.comparison.rows[]
---@field at_least boolean[] inertia is "at least": parts without a shape count as points
---@field limits? steelyard.comparison.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.comparison.aboard[]
---@field file? steelyard.comparison.file
---@field readings_file? steelyard.comparison.readings_file
---@field other_files? steelyard.comparison.other_files[]
---@field version? string of steelyard
---@field sd steelyard.comparison.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.comparison, path: string, o?: steelyard.options.picture): string writes its picture

---Part of steelyard.closure.
---@class steelyard.closure.suspects
---@field name string a line whose correction would close the gap; empty when it closes
---@field why string the slip
---@field reading? number as given, in unit
---@field unit? string of the reading
---@field would_be number kg; what one piece would weigh; 0 for a line too many
---@field left number kg; what the correction leaves of the gap
---@field count? number pieces there would be, where their number is wrong
---@field tied? string[] the others that explain it as well
---@field fits_estimate? boolean true when the line's earlier estimate speaks for it

---Part of steelyard.closure.
---@class steelyard.closure.weaker
---@field name? string a line with less to speak for it; the other fields as above
---@field why? string the slip
---@field reading? number as given
---@field unit? string of the reading
---@field would_be? number kg; of one piece
---@field left? number kg; of the gap

---Part of steelyard.closure.
---@class steelyard.closure.twice
---@field name string a line that two assemblies book, or that another line includes
---@field mass number kg; counted again
---@field assemblies string[] where
---@field included_by? string the line that includes it

---Part of steelyard.closure.
---@class steelyard.closure.assemblies
---@field name string empty for lines without one
---@field mass number kg; of its lines
---@field sd number kg; standard uncertainty
---@field lines number how many

---Part of steelyard.closure.
---@class steelyard.closure.extra
---@field name string what the whole holds beside the parts
---@field mass number kg; of it
---@field sd number kg; standard uncertainty

---Part of steelyard.closure.
---@class steelyard.closure.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.closure.
---@class steelyard.closure.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.closure.
---@class steelyard.closure.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.closure.
---@class steelyard.closure.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.closure gives.
---@class steelyard.closure
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field whole? number kg; as weighed
---@field whole_sd? number kg; standard uncertainty
---@field sum number kg; of all parts and extras
---@field sum_sd number kg; standard uncertainty
---@field gap? number kg; whole - sum
---@field sd? number kg; of the gap, standard uncertainty
---@field sigmas? number gap / sd
---@field closes? boolean gap within its 95 %
---@field suspects steelyard.closure.suspects[]
---@field weaker steelyard.closure.weaker[]
---@field twice steelyard.closure.twice[]
---@field twice_mass number kg; of all these
---@field sum_once number kg; sum - twice_mass
---@field assemblies steelyard.closure.assemblies[]
---@field extra steelyard.closure.extra[]
---@field lines number parts and extras
---@field unknown number lines whose mass is not known
---@field decimals number as masses are printed
---@field aboard? steelyard.closure.aboard[]
---@field file? steelyard.closure.file
---@field readings_file? steelyard.closure.readings_file
---@field other_files? steelyard.closure.other_files[]
---@field version? string of steelyard

---Part of steelyard.track.rows.
---@class steelyard.track.rows.sd
---@field mass number kg; standard uncertainty
---@field front_share number %; the same
---@field left_share number %; the same
---@field height number mm; the same
---@field yaw_inertia number kg m2; the same
---@field cross_share? number %; the same

---Part of steelyard.track.rows.change.
---@class steelyard.track.rows.change.greatest
---@field part string a line, the greatest first
---@field happened string in words
---@field kinds string[] as in changes
---@field d_mass number kg; its share of the change
---@field d_front_share number %; the same
---@field d_left_share number %; the same
---@field d_height number mm; the same
---@field d_yaw_inertia number kg m2; the same

---Part of steelyard.track.rows.change.
---@class steelyard.track.rows.change.rest
---@field lines number smaller lines
---@field d_mass number kg; of them together
---@field d_front_share number %; the same
---@field d_left_share number %; the same
---@field d_height number mm; the same
---@field d_yaw_inertia number kg m2; the same

---Part of steelyard.track.rows.
---@class steelyard.track.rows.change
---@field lines number how many lines changed since the file before
---@field total table<string, number> of all of them: d_mass, d_front_share, d_left_share, d_height, d_yaw_inertia
---@field sd table<string, number> its standard uncertainties; what both files state alike goes out
---@field greatest steelyard.track.rows.change.greatest[]
---@field rest? steelyard.track.rows.change.rest

---Part of steelyard.track.
---@class steelyard.track.rows
---@field file string its path
---@field date string of it, ISO 8601
---@field dated_by string what says so: given, field, name, or record (its last record of the car as it is)
---@field title string of the vehicle
---@field mass number kg; of the car in it
---@field mass_with_growth number kg; with the growth allowances of parts
---@field front_share number %; front by total
---@field left_share number %; left by total
---@field height number mm; CG above the ground
---@field yaw_inertia number kg m2; about the upright axis
---@field cross_share? number %; as the file has it, of four wheels
---@field cross_assumed? boolean nobody measured that
---@field sd steelyard.track.rows.sd
---@field change? steelyard.track.rows.change

---Part of steelyard.track.records.
---@class steelyard.track.records.sd
---@field mass? number kg; standard uncertainty
---@field front_share? number %; the same
---@field height? number mm; the same
---@field cross_share? number %; the same

---Part of steelyard.track.records.
---@class steelyard.track.records.ledger
---@field mass? number kg; the ledger of that day in the state of the history
---@field front_share? number %; the same
---@field height? number mm; the same

---Part of steelyard.track.
---@class steelyard.track.records
---@field name string of the record
---@field kind string as in car:records
---@field date? string as stated
---@field state? string the load state it was read in
---@field file string path of the file that has it: the latest, where several do
---@field stood_in? string the file that it names as the car then stood
---@field headline? string what it says, in words
---@field sigmas? number the largest, against the ledger of that day
---@field fits? boolean do the uncertainties explain the difference
---@field placed boolean does it say what the car weighed
---@field why? string why not
---@field mass? number kg; as read, in the state of the history
---@field front_share? number %; the same
---@field height? number mm; the same, of the CG
---@field cross_share? number %; as read, in the state of the record
---@field sd steelyard.track.records.sd
---@field carried? boolean it was read in another state and brought to this one
---@field ledger? steelyard.track.records.ledger

---Part of steelyard.track.
---@class steelyard.track.left_out
---@field file string its path
---@field why string in words

---Part of steelyard.track.
---@class steelyard.track.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.track.
---@class steelyard.track.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.track.
---@class steelyard.track.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.track.
---@class steelyard.track.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.track.
---@class steelyard.track.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.track gives: a row a file, in order of time.
---@class steelyard.track
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field rows steelyard.track.rows[]
---@field records steelyard.track.records[]
---@field left_out steelyard.track.left_out[]
---@field by string what the greatest lines are judged by
---@field limits? steelyard.track.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.track.aboard[]
---@field file? steelyard.track.file
---@field readings_file? steelyard.track.readings_file
---@field other_files? steelyard.track.other_files[]
---@field version? string of steelyard
---@field plot fun(self: steelyard.track, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.changes.sd
---@field d_mass? number kg; of the total
---@field d_front_share? number %; the same
---@field d_left_share? number %; the same
---@field d_height? number mm; the same
---@field d_yaw_inertia? number kg m2; the same

---Part of steelyard.changes.
---@class steelyard.changes.rows
---@field part string its path; a group that moved, came or went as a whole is one line
---@field happened string in words
---@field kinds string[] added, removed, renamed, moved, turned, re-weighed, corrected, basis raised, basis lowered, uncertainty, count, mass, filled, shape, carrier, growth, aboard, reformed (a part that became a group) or geometry (axles and ground)
---@field d_mass number kg; its share of the change
---@field d_front_share number %; the same
---@field d_left_share number %; the same
---@field d_height number mm; the same
---@field d_yaw_inertia number kg m2; the same
---@field question? string asked of what came where something like it went: renamed?

---Part of steelyard.changes.
---@class steelyard.changes.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.changes.
---@class steelyard.changes.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.changes.
---@class steelyard.changes.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.changes.
---@class steelyard.changes.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.changes.
---@class steelyard.changes.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.changes gives. Each line has its effect on the mean of the two cars.
---@class steelyard.changes
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field rows steelyard.changes.rows[]
---@field questions string[] all of these
---@field by? string the quantity whose largest movers come first, as asked
---@field sums table<string, number> of the lines, by the same names: d_mass and so on
---@field total table<string, number> after less before, which is the same; sd has its standard uncertainty where known
---@field before table<string, number> mass, front_share, left_share, height, yaw_inertia
---@field after table<string, number> the same
---@field limits? steelyard.changes.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.changes.aboard[]
---@field file? steelyard.changes.file
---@field readings_file? steelyard.changes.readings_file
---@field other_files? steelyard.changes.other_files[]
---@field version? string of steelyard
---@field sd steelyard.changes.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.changes, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.corners.sd : steelyard.wheels
---@field mass number kg; standard uncertainty
---@field front number kg; standard uncertainty
---@field rear number kg; standard uncertainty
---@field left number kg; standard uncertainty
---@field right number kg; standard uncertainty
---@field front_share number %; standard uncertainty
---@field left_share number %; standard uncertainty
---@field cross_share? number %; standard uncertainty
---@field diagonal_ratio? number standard uncertainty

---Part of steelyard.corners.
---@class steelyard.corners.liquids
---@field name string a tank that has a shape
---@field litres number litre; in it
---@field forward number mm; forward of where it stands level
---@field left number mm; left
---@field up number mm; up

---Part of steelyard.corners.
---@class steelyard.corners.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.corners.
---@class steelyard.corners.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.corners.
---@class steelyard.corners.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.corners.
---@class steelyard.corners.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.corners.
---@class steelyard.corners.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:corners gives: changes of height are from the drawn state. lf, rf ... as in a balance.
---@class steelyard.corners : steelyard.wheels
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field mass number kg; all wheels; on a slope less than the car's mass
---@field front number kg; first axle
---@field rear number kg; all others
---@field left number kg; left wheels
---@field right number kg; right wheels
---@field front_share number %; front by total
---@field left_share number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number (right front + left rear) / (left front + right rear)
---@field lifted string[] wheels off the ground
---@field stops? table<string, string> wheels at a stop: "bump" or "droop"
---@field bump_stops? table<string, number> mm; wheels on their bump stop, and how far into it; where the file has any
---@field heights table<string, number> mm; body at the first axle (front), the last (rear) and over each wheel (by key), up positive
---@field pitch number deg; nose up
---@field roll number deg; left side up, mean of both ends
---@field twist number deg; left side up at the front against the rear
---@field travel table<string, number> mm; of each wheel, bump positive
---@field bars table<string, number> N m; moment of each connected bar, lifting the left side of the body
---@field wheel_rate table<string, number> N/mm; by axle: spring rate x motion ratio squared; where rates change with travel at the present one, the mean of the axle's wheels and, where these differ, each wheel's own by its key
---@field ride_hz table<string, number> Hz; of the sprung mass on wheel rate and tyre, by axle, as drawn; where rates change with travel as it stands
---@field per_turn? table<string, table<string, number|table<string, number>>> what one turn up on each wheel's perch changes, where perch_pitch is given: each load by its key (kg), cross_share (%), height of the body there and heights over all wheels (mm)
---@field per_pad_mm? table<string, table<string, number|table<string, number>>> the same for 1 mm more under each wheel's pad
---@field bars_setting string off or connected
---@field wheels string[] keys of the wheels in their order
---@field determinate boolean three wheels: loads follow from balance alone
---@field liquids? steelyard.corners.liquids[]
---@field limits? steelyard.corners.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.corners.aboard[]
---@field file? steelyard.corners.file
---@field readings_file? steelyard.corners.readings_file
---@field other_files? steelyard.corners.other_files[]
---@field version? string of steelyard
---@field sd steelyard.corners.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.corners, path: string, o?: steelyard.options.picture): string writes its picture

---Part of steelyard.transfer.sd.
---@class steelyard.transfer.sd.rigid_lift
---@field g? number g; standard uncertainty

---Part of steelyard.transfer.sd.
---@class steelyard.transfer.sd.first_lift
---@field g number g; standard uncertainty

---Standard uncertainties.
---@class steelyard.transfer.sd : steelyard.wheels
---@field front_transfer_share? number %; standard uncertainty
---@field total_transfer? number kg; standard uncertainty
---@field gain? table<string, number> kg; standard uncertainty
---@field heights? table<string, number> mm; standard uncertainty
---@field pitch? number deg; standard uncertainty
---@field pitch_gain? number kg; standard uncertainty
---@field roll? number deg; standard uncertainty
---@field twist? number deg; standard uncertainty
---@field rigid_lift? steelyard.transfer.sd.rigid_lift
---@field first_lift? steelyard.transfer.sd.first_lift

---Part of steelyard.transfer.
---@class steelyard.transfer.links
---@field front number %; of the load that braking or drive moves onto or off the front axle, what its links carry past the springs
---@field rear number %; the same of the rear axle
---@field front_share number %; front part of the brake or drive force, as it counts where an angle of links is stated

---Part of steelyard.transfer.
---@class steelyard.transfer.rigid_lift
---@field g? number g; without rates: at which the first wheel of the rigid car lifts in a turn, equal vertical rates
---@field wheel? string that wheel
---@field tips number g; at which it goes over
---@field by string what grows, as in first_lift

---Part of steelyard.transfer.
---@class steelyard.transfer.first_lift
---@field g number g; as the turn (or, going straight, braking or drive) grows and the rest stays: at which the first wheel leaves the ground
---@field wheel string that wheel
---@field tips? number g; at which it goes over
---@field by string what grows: left_turn, right_turn, braking or drive

---Part of steelyard.transfer.
---@class steelyard.transfer.liquids
---@field name string a tank that has a shape
---@field litres number litre; in it
---@field forward number mm; forward of where it stands level
---@field left number mm; left
---@field up number mm; up

---Part of steelyard.transfer.
---@class steelyard.transfer.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.transfer.
---@class steelyard.transfer.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.transfer.
---@class steelyard.transfer.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.transfer.
---@class steelyard.transfer.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:transfer gives. lf, rf ... are the loads then; roll, pitch and twist are changes from standing.
---@class steelyard.transfer : steelyard.wheels
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field mass number kg; all wheels, downforce with them
---@field front? number kg; first axle
---@field rear? number kg; all others
---@field left? number kg; left wheels
---@field right? number kg; right wheels
---@field front_share? number %; front by total
---@field left_share? number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number (right front + left rear) / (left front + right rear)
---@field standing table<string, number> kg; by wheel, on level ground without downforce
---@field gain table<string, number> kg; by wheel, from standing
---@field paths? table<string, table<string, number>> kg; by axle, onto the outer wheel: geometric (through the roll centre), elastic (springs, bar and chassis, with the lean of the weight), unsprung, tyres (weight gone sideways over tyres that give), total; when turning
---@field front_transfer_share? number %; first axle's part of what goes across, when turning
---@field total_transfer? number kg; onto the outer wheels of all axles together, when turning; without rates at the mean track
---@field pitch_gain? number kg; onto the first axle by braking, negative in drive; without rates with two axles
---@field heights? table<string, number> mm; front and rear: rise of the body over the first and last axle, from standing
---@field links? steelyard.transfer.links
---@field roll? number deg; left side up
---@field pitch? number deg; nose up
---@field twist? number deg; left side up at the front against the rear
---@field lifted? string[] wheels off the ground
---@field stops? table<string, string> wheels at a stop: "bump" or "droop"
---@field bump_stops? table<string, number> mm; wheels on their bump stop, and how far into it; where the file has any
---@field travel? table<string, number> mm; of each wheel from the drawn state, bump positive
---@field status? string unknown without rates: what rests on springs is then missing
---@field why? string then: the rate that is missing
---@field rigid_lift? steelyard.transfer.rigid_lift
---@field first_lift? steelyard.transfer.first_lift
---@field asked string the force in words
---@field downforce? table<string, number> kg; by axle
---@field wheels string[] keys of the wheels in their order
---@field axles string[] keys of the axles in their order
---@field liquids? steelyard.transfer.liquids[]
---@field aboard? steelyard.transfer.aboard[]
---@field file? steelyard.transfer.file
---@field readings_file? steelyard.transfer.readings_file
---@field other_files? steelyard.transfer.other_files[]
---@field version? string of steelyard
---@field sd steelyard.transfer.sd standard uncertainties under the same names

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.grade
---@field up number deg; standard uncertainty
---@field down number deg; standard uncertainty

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.split
---@field ideal? number %; standard uncertainty

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.side
---@field left_turn? number g; standard uncertainty
---@field right_turn? number g; standard uncertainty

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.brake
---@field ideal number %; standard uncertainty
---@field critical_z? number g; standard uncertainty
---@field front_locks? number g; standard uncertainty
---@field rear_locks? number g; standard uncertainty
---@field at? number g; standard uncertainty

---Part of steelyard.stability.sd.compliant.lift.
---@class steelyard.stability.sd.compliant.lift.left
---@field angle? number deg; standard uncertainty

---Part of steelyard.stability.sd.compliant.lift.
---@class steelyard.stability.sd.compliant.lift.right
---@field angle? number deg; standard uncertainty

---Part of steelyard.stability.sd.compliant.
---@class steelyard.stability.sd.compliant.lift
---@field left steelyard.stability.sd.compliant.lift.left
---@field right steelyard.stability.sd.compliant.lift.right

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.compliant
---@field tip table<string, number> deg; standard uncertainty
---@field lift steelyard.stability.sd.compliant.lift

---Part of steelyard.stability.sd.lift.
---@class steelyard.stability.sd.lift.left
---@field angle? number deg; standard uncertainty

---Part of steelyard.stability.sd.lift.
---@class steelyard.stability.sd.lift.right
---@field angle? number deg; standard uncertainty

---Part of steelyard.stability.sd.
---@class steelyard.stability.sd.lift
---@field left steelyard.stability.sd.lift.left
---@field right steelyard.stability.sd.lift.right

---Standard uncertainties.
---@class steelyard.stability.sd
---@field ssf? number standard uncertainty
---@field side_g number g; standard uncertainty
---@field margin number deg; standard uncertainty
---@field margins table<string, number> deg; standard uncertainty
---@field tip table<string, number> deg; standard uncertainty
---@field grade steelyard.stability.sd.grade
---@field traction? table<string, number> g; standard uncertainty
---@field split? steelyard.stability.sd.split
---@field side steelyard.stability.sd.side
---@field brake? steelyard.stability.sd.brake
---@field compliant? steelyard.stability.sd.compliant
---@field lift steelyard.stability.sd.lift

---Part of steelyard.stability.lift.
---@class steelyard.stability.lift.left
---@field angle number deg; angle at which the first wheel of the rigid car lifts, on equal vertical rates
---@field wheel string that wheel

---Part of steelyard.stability.lift.
---@class steelyard.stability.lift.right
---@field angle number deg; the same, right side low
---@field wheel string that wheel

---Part of steelyard.stability.
---@class steelyard.stability.lift
---@field left steelyard.stability.lift.left
---@field right steelyard.stability.lift.right

---Part of steelyard.stability.compliant.lift.
---@class steelyard.stability.compliant.lift.left
---@field angle? number deg; at which the first wheel lifts
---@field wheel? string that wheel

---Part of steelyard.stability.compliant.lift.
---@class steelyard.stability.compliant.lift.right
---@field angle? number deg; right side low
---@field wheel? string that wheel

---Part of steelyard.stability.compliant.
---@class steelyard.stability.compliant.lift
---@field left steelyard.stability.compliant.lift.left
---@field right steelyard.stability.compliant.lift.right

---Part of steelyard.stability.
---@class steelyard.stability.compliant
---@field tip? table<string, number> deg; the same on springs and tyres: where it goes over
---@field lift? steelyard.stability.compliant.lift
---@field status? string unknown without rates
---@field why? string then

---Part of steelyard.stability.
---@class steelyard.stability.side
---@field left_turn? number g; the same by turn; none where braking or drive alone tips it
---@field right_turn? number g; the same
---@field edge table<string, string[]> for each turn the two wheels it tips over

---Part of steelyard.stability.
---@class steelyard.stability.lines
---@field braking number g; rigid tip lines: deceleration
---@field drive number g; or acceleration
---@field left_turn? number g; sideways acceleration that tips it
---@field right_turn? number g; the same
---@field edge table<string, string[]> for each turn the two wheels it tips over

---Part of steelyard.stability.
---@class steelyard.stability.grade
---@field up number deg; grade at which the rigid car, facing up, goes over
---@field down number deg; facing down

---Part of steelyard.stability.
---@class steelyard.stability.split
---@field front_share number %; drive_front_share as given
---@field limited_by string what ends it: grip front or rear, or lift of the front wheels
---@field ideal? number %; front share of the drive with which both axles slip together, at mu

---Part of steelyard.stability.brake.
---@class steelyard.stability.brake.curve
---@field z number g; deceleration
---@field front_share number %; the ideal share there
---@field sd number %; of it

---Part of steelyard.stability.
---@class steelyard.stability.brake
---@field ideal number %; with two axles: front share of the braking at which both lock together, at mu
---@field curve steelyard.stability.brake.curve[]
---@field front_share? number %; brake_front_share as given
---@field critical_z? number g; at which both lock with that share
---@field front_locks? number g; at which the front axle locks, at mu
---@field rear_locks? number g; the rear axle
---@field at? number g; the smaller of both
---@field locks_first? string front or rear

---Part of steelyard.stability.hill.
---@class steelyard.stability.hill.pick_ups
---@field tank string a tank with a pick-up
---@field litres number litre; in it
---@field unusable number litre; what stands below its pick-up there
---@field dry boolean nothing reaches it

---Part of steelyard.stability.
---@class steelyard.stability.hill
---@field angle number deg; of the table, worse side low, where the first wheel lifts: what then presses on it
---@field wheel string that wheel
---@field low string left or right
---@field on_springs boolean false: of the rigid car, rates are not known
---@field down? number kg; across the table under the wheels on the low side, by the turn that pulls as hard
---@field up? number kg; under the others
---@field pick_ups? steelyard.stability.hill.pick_ups[]

---Part of steelyard.stability.
---@class steelyard.stability.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.stability.
---@class steelyard.stability.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.stability.
---@class steelyard.stability.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.stability.
---@class steelyard.stability.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:stability gives. left and right name the low side of the table; liquid runs there.
---@class steelyard.stability
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field downforce? table<string, number> kg; by axle; it counts in side, lines, traction and brake
---@field sink? number mm; by which the CG sinks under it, where the springs are known
---@field axles? string[] keys of the axles, with downforce
---@field ssf? number mean track by twice the CG height, with two wheels on every axle
---@field tip table<string, number> deg; left and right: angle of a table at which the rigid car goes over
---@field lift steelyard.stability.lift
---@field compliant steelyard.stability.compliant
---@field side_g number g; sideways acceleration that tips the rigid car with the braking or drive given, the worse turn; 0 when that alone does
---@field side steelyard.stability.side
---@field lines steelyard.stability.lines[]
---@field grade steelyard.stability.grade
---@field traction? table<string, number> g; largest acceleration by driven axle: front, rear, all, and split with a drive_front_share; with two axles
---@field split? steelyard.stability.split
---@field brake? steelyard.stability.brake
---@field nose_load? number kg; on a single first wheel named "nose", "coupling" or "hitch"
---@field nose_share? number %; of the whole
---@field required number deg; what was asked for
---@field margin number deg; of the wheel lift-off on springs (without rates: of rigid tipping) over what is required, worse side
---@field margins table<string, number> deg; of both sides
---@field worse_side string left or right
---@field hill? steelyard.stability.hill
---@field mu number grip
---@field forward number g; braking, or with a minus drive
---@field status string pass, near, fail or unknown; unknown without rates unless it fails rigid
---@field aboard? steelyard.stability.aboard[]
---@field file? steelyard.stability.file
---@field readings_file? steelyard.stability.readings_file
---@field other_files? steelyard.stability.other_files[]
---@field version? string of steelyard
---@field sd steelyard.stability.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.stability, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.perches.sd : steelyard.wheels
---@field cross_share? number %; standard uncertainty
---@field mass? number kg; of the loads then
---@field front? number kg; the same
---@field rear? number kg; the same
---@field left? number kg; the same
---@field right? number kg; the same
---@field front_share? number %; the same
---@field left_share? number %; the same
---@field diagonal_ratio? number the same

---Part of steelyard.perches.
---@class steelyard.perches.reading
---@field heights? table<string, number> mm; measured heights, as what was read of loads beside them
---@field lf? number kg; under that wheel
---@field rf? number kg; under that wheel
---@field lr? number kg; under that wheel
---@field rr? number kg; under that wheel
---@field f? number kg; under that wheel
---@field r? number kg; under that wheel
---@field mass? number kg; in all
---@field front_share? number %; front by total
---@field left_share? number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number of the diagonals
---@field [string] number kg; under a wheel of more than two axles
---@field state string load state on the scales
---@field sd? table<string, number> standard uncertainties of these

---Part of steelyard.perches.nearest.
---@class steelyard.perches.nearest.exact
---@field turns table<string, number> turns; before rounding
---@field loads table<string, number> the same
---@field heights table<string, number> mm; the same

---Part of steelyard.perches.nearest.
---@class steelyard.perches.nearest.next
---@field with_driver? table<string, number> what the scales then read with people aboard: kg by wheel, mass, shares
---@field without_driver table<string, number> the same with nobody aboard
---@field people string[] who that is
---@field lf? number kg; under that wheel
---@field rf? number kg; under that wheel
---@field lr? number kg; under that wheel
---@field rr? number kg; under that wheel
---@field f? number kg; under that wheel
---@field r? number kg; under that wheel
---@field mass? number kg; in all
---@field front_share? number %; front by total
---@field left_share? number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number of the diagonals
---@field [string] number kg; under a wheel of more than two axles
---@field state string load state on the scales
---@field sd? table<string, number> standard uncertainties of these

---Part of steelyard.perches.nearest.
---@class steelyard.perches.nearest.rule_of_thumb
---@field turns table<string, number> turns; the same turns at every corner
---@field loads table<string, number> then
---@field cross_share number %; then
---@field heights table<string, number> mm; then

---Part of steelyard.perches.
---@class steelyard.perches.nearest
---@field wheel? string when it is not possible: the wheel that would leave the ground; the others as above
---@field turns? table<string, number> turns; of each perch, rounded, + lifts that corner
---@field spring_mm? table<string, number> mm; the same as travel of the spring seat
---@field loads? table<string, number> then: kg by wheel, mass, shares
---@field heights? table<string, number> mm; then: body from the drawn state
---@field cross_share? number %; then
---@field pitch? number deg; then: nose up
---@field roll? number deg; left side up
---@field twist? number deg; left side up at the front against the rear
---@field travel? table<string, number> mm; then: of each wheel, bump positive
---@field lifted? string[] then off the ground
---@field stops? table<string, string> then at a stop
---@field bump_stops? table<string, number> mm; then on their bump stop, and how far into it
---@field exact? steelyard.perches.nearest.exact
---@field without_driver? table<string, number> what the pads then read with nobody aboard
---@field misfit? number mm; by how much the four corners miss what was asked, root of the sum of squares, when not all can be had
---@field next? steelyard.perches.nearest.next
---@field rule_of_thumb? steelyard.perches.nearest.rule_of_thumb

---Part of steelyard.perches.
---@class steelyard.perches.exact
---@field turns table<string, number> turns; before rounding
---@field loads table<string, number> the same
---@field heights table<string, number> mm; the same

---Part of steelyard.perches.
---@class steelyard.perches.next
---@field with_driver? table<string, number> what the scales then read with people aboard: kg by wheel, mass, shares
---@field without_driver table<string, number> the same with nobody aboard
---@field people string[] who that is
---@field lf? number kg; under that wheel
---@field rf? number kg; under that wheel
---@field lr? number kg; under that wheel
---@field rr? number kg; under that wheel
---@field f? number kg; under that wheel
---@field r? number kg; under that wheel
---@field mass? number kg; in all
---@field front_share? number %; front by total
---@field left_share? number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number of the diagonals
---@field [string] number kg; under a wheel of more than two axles
---@field state string load state on the scales
---@field sd? table<string, number> standard uncertainties of these

---Part of steelyard.perches.
---@class steelyard.perches.rule_of_thumb
---@field turns table<string, number> turns; the same turns at every corner
---@field loads table<string, number> then
---@field cross_share number %; then
---@field heights table<string, number> mm; then

---Part of steelyard.perches.
---@class steelyard.perches.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.perches.
---@class steelyard.perches.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.perches.
---@class steelyard.perches.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.perches.
---@class steelyard.perches.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:perches gives. When not possible, turns and what follows from them stand in nearest.
---@class steelyard.perches
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field possible boolean can the target be reached?
---@field why? string why not
---@field pad_error_allowed? number mm; of the worst pad, for 0.1 % of cross weight
---@field before table<string, number> loads now
---@field before_heights table<string, number> mm; heights now
---@field asked_heights? table<string, number> mm; heights asked for
---@field asked_roll? number deg; roll asked for
---@field now string assumed or measured: what turns start from
---@field reading? steelyard.perches.reading
---@field nearest? steelyard.perches.nearest
---@field reached? number %; how far on the way there turns go, when stops or a lifted wheel end it
---@field hold string what was held
---@field notch number turns; what was rounded to
---@field target? table<string, number> %; shares asked for
---@field wheels string[] keys of the wheels in their order
---@field turns? table<string, number> turns; of each perch, rounded, + lifts that corner
---@field spring_mm? table<string, number> mm; the same as travel of the spring seat
---@field loads? table<string, number> then: kg by wheel, mass, shares
---@field heights? table<string, number> mm; then: body from the drawn state
---@field cross_share? number %; then
---@field pitch? number deg; then: nose up
---@field roll? number deg; left side up
---@field twist? number deg; left side up at the front against the rear
---@field travel? table<string, number> mm; then: of each wheel, bump positive
---@field lifted? string[] then off the ground
---@field stops? table<string, string> then at a stop
---@field bump_stops? table<string, number> mm; then on their bump stop, and how far into it
---@field exact? steelyard.perches.exact
---@field without_driver? table<string, number> what the pads then read with nobody aboard
---@field misfit? number mm; by how much the four corners miss what was asked, root of the sum of squares, when not all can be had
---@field next? steelyard.perches.next
---@field rule_of_thumb? steelyard.perches.rule_of_thumb
---@field aboard? steelyard.perches.aboard[]
---@field file? steelyard.perches.file
---@field readings_file? steelyard.perches.readings_file
---@field other_files? steelyard.perches.other_files[]
---@field version? string of steelyard
---@field sd steelyard.perches.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.perches, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.attitude.sd
---@field height number mm; standard uncertainty
---@field heights? table<string, number> mm; standard uncertainty
---@field pitch? number deg; standard uncertainty
---@field roll? number deg; standard uncertainty
---@field twist? number deg; standard uncertainty
---@field rake? number mm; standard uncertainty

---Part of steelyard.attitude.
---@class steelyard.attitude.measured
---@field front number mm; body at the first axle by the two measured points, up from drawn
---@field rear number mm; at the last axle
---@field rake number mm; rear less front
---@field pitch number deg; nose up
---@field points string[] the two
---@field off_centre boolean is one of them beside the centre plane?
---@field sd table<string, number> standard uncertainties of front, rear and pitch

---Part of steelyard.attitude.
---@class steelyard.attitude.cg
---@field x number mm; with the body where it stands, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.attitude.
---@class steelyard.attitude.uncoupled
---@field bounce? number Hz; without pitch
---@field pitch? number Hz; without bounce

---Part of steelyard.attitude.
---@class steelyard.attitude.node
---@field bounce? number mm; point that stays still, ahead of the sprung CG; none when not coupled
---@field pitch? number mm; the same

---Part of steelyard.attitude.
---@class steelyard.attitude.liquids
---@field name string a tank that has a shape
---@field litres number litre; in it
---@field forward number mm; forward of where it stands level
---@field left number mm; left
---@field up number mm; up

---Part of steelyard.attitude.
---@class steelyard.attitude.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.attitude.
---@class steelyard.attitude.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.attitude.
---@class steelyard.attitude.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.attitude.
---@class steelyard.attitude.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:attitude gives. Heights are from the drawn ones, up positive; with against they are changes.
---@class steelyard.attitude : steelyard.wheels
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field heights table<string, number> mm; body at the first axle (front), the last (rear) and over each wheel (by key)
---@field pitch number deg; nose up
---@field roll number deg; left side up
---@field twist number deg; left side up at the front against the rear
---@field rake number mm; rear axle line less front, beyond the drawn one: tail up positive
---@field travel table<string, number> mm; of each wheel, bump positive
---@field measured? steelyard.attitude.measured
---@field ground? table<string, number> mm; height of the file's points above the ground, always absolute
---@field ground_change? table<string, number> mm; with against
---@field against? string heading of the other car
---@field cg steelyard.attitude.cg
---@field height number mm; CG above the ground
---@field frequency table<string, number> Hz; front and rear (each axle alone), bounce and pitch (coupled)
---@field uncoupled? steelyard.attitude.uncoupled
---@field node? steelyard.attitude.node
---@field hop? table<string, number> Hz; wheels of an axle between tyre and spring
---@field deflection table<string, number> mm; static, of spring and tyre, by axle
---@field dynamic_index? number pitch inertia / (sprung mass x a x b), not the yaw index
---@field sprung_mass? number kg; what the springs carry
---@field pitch_inertia? number kg m2; of it, about its CG
---@field at_least boolean parts without a shape count as points in the inertia
---@field wheel_rate table<string, number> N/mm; by axle, as in car:corners
---@field ride_hz table<string, number> Hz; by axle, as drawn; where rates change with travel as it stands
---@field mass number kg; all wheels
---@field front number kg; first axle
---@field rear number kg; all others
---@field left number kg; left wheels
---@field right number kg; right wheels
---@field front_share number %; front by total
---@field left_share number %; left by total
---@field cross_share? number %; right front and left rear by total
---@field diagonal_ratio? number (right front + left rear) / (left front + right rear)
---@field lifted string[] wheels off the ground
---@field stops? table<string, string> wheels at a stop
---@field bump_stops? table<string, number> mm; wheels on their bump stop, and how far into it; where the file has any
---@field downforce? table<string, number> kg; by axle
---@field axles string[] keys of the axles, from the front
---@field wheels string[] keys of the wheels in their order
---@field liquids? steelyard.attitude.liquids[]
---@field aboard? steelyard.attitude.aboard[]
---@field file? steelyard.attitude.file
---@field readings_file? steelyard.attitude.readings_file
---@field other_files? steelyard.attitude.other_files[]
---@field version? string of steelyard
---@field sd steelyard.attitude.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.heights.sd

---Part of steelyard.heights.
---@class steelyard.heights.loaded
---@field front number mm; with what is aboard, where the springs are known
---@field rear number mm; the same

---Part of steelyard.heights.
---@class steelyard.heights.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.heights.
---@class steelyard.heights.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.heights.
---@class steelyard.heights.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.heights.
---@class steelyard.heights.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:heights gives.
---@class steelyard.heights
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field front number mm; set by the perches, up from the drawn height
---@field rear number mm; the same
---@field loaded? steelyard.heights.loaded
---@field aboard? steelyard.heights.aboard[]
---@field file? steelyard.heights.file
---@field readings_file? steelyard.heights.readings_file
---@field other_files? steelyard.heights.other_files[]
---@field version? string of steelyard
---@field sd steelyard.heights.sd standard uncertainties under the same names

---Part of steelyard.mesh.
---@class steelyard.mesh.cg
---@field x number mm; from the file's zero
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.mesh.
---@class steelyard.mesh.size
---@field x number mm; length over all
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.mesh.
---@class steelyard.mesh.sd
---@field mass? number kg; where an uncertainty was stated
---@field inertia? table<string, number> kg m2; the same

---Part of steelyard.mesh.
---@class steelyard.mesh.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.mesh.
---@class steelyard.mesh.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.mesh.
---@class steelyard.mesh.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.mesh.
---@class steelyard.mesh.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.mesh gives, along the axes of the file.
---@class steelyard.mesh
---@field state string a body by itself
---@field heading string file and unit
---@field notes string[] assumptions, each a sentence
---@field volume number litre; of the material, cavities left out
---@field area number m2; of the whole surface, round cavities too
---@field mass? number kg; as given, or density x volume
---@field cg steelyard.mesh.cg
---@field inertia? table<string, number> kg m2; xx yy zz xy xz yz about the CG, of a uniform body; where the mass is known
---@field size steelyard.mesh.size
---@field triangles number of the surface
---@field shells number pieces of surface that do not hang together
---@field cavities number how many of them bound a hollow
---@field format string binary STL, text STL or OBJ
---@field sd steelyard.mesh.sd
---@field aboard? steelyard.mesh.aboard[]
---@field file? steelyard.mesh.file
---@field readings_file? steelyard.mesh.readings_file
---@field other_files? steelyard.mesh.other_files[]
---@field version? string of steelyard

---Standard uncertainties.
---@class steelyard.pendulum.sd
---@field inertia table<string, number>|number kg m2; standard uncertainty
---@field period? number s; standard uncertainty

---Part of steelyard.pendulum.
---@class steelyard.pendulum.budget
---@field source string what the uncertainty comes from, the largest first
---@field u number kg m2; standard uncertainty by it
---@field share number %; of the variance

---Part of steelyard.pendulum.rows.
---@class steelyard.pendulum.rows.sd
---@field inertia number kg m2; standard uncertainty
---@field period number s; standard uncertainty

---Part of steelyard.pendulum.
---@class steelyard.pendulum.rows
---@field hang number one of several axes
---@field kind string of pendulum
---@field period number s; one full swing
---@field inertia number kg m2; about that axis
---@field residual number kg m2; measured less fitted
---@field sd steelyard.pendulum.rows.sd

---Part of steelyard.pendulum.
---@class steelyard.pendulum.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.pendulum.
---@class steelyard.pendulum.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.pendulum.
---@class steelyard.pendulum.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.pendulum.
---@class steelyard.pendulum.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.pendulum gives. Of several axes `inertia` is a table with the known ones of xx yy zz xy xz yz, and so is its sd.
---@class steelyard.pendulum
---@field state string what was measured in which state
---@field heading string title, kind and state
---@field title? string as given
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field kind string of pendulum
---@field inertia table<string, number>|number kg m2; about the CG; a number for one axis
---@field period? number s; one full swing; of few timings its sd is widened so that 1.96 of it covers 95 %
---@field stiffness? number N m/rad; of a torsion wire
---@field amplitude? number measured period over that of small swings
---@field gyration? number mm; radius of gyration
---@field budget? steelyard.pendulum.budget[]
---@field dof? number axes less entries of the tensor
---@field rows? steelyard.pendulum.rows[]
---@field aboard? steelyard.pendulum.aboard[]
---@field file? steelyard.pendulum.file
---@field readings_file? steelyard.pendulum.readings_file
---@field other_files? steelyard.pendulum.other_files[]
---@field version? string of steelyard
---@field sd steelyard.pendulum.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.corner_scales.sd
---@field mass? number kg; standard uncertainty
---@field front? number kg; standard uncertainty
---@field rear? number kg; standard uncertainty
---@field left? number kg; standard uncertainty
---@field right? number kg; standard uncertainty
---@field lf? number kg; standard uncertainty
---@field rf? number kg; standard uncertainty
---@field lr? number kg; standard uncertainty
---@field rr? number kg; standard uncertainty
---@field f? number kg; standard uncertainty
---@field r? number kg; standard uncertainty
---@field front_share? number %; standard uncertainty
---@field left_share? number %; standard uncertainty
---@field cross_share? number %; standard uncertainty
---@field diagonal_ratio? number standard uncertainty
---@field pad? table<string, number> kg; standard uncertainty
---@field closure? number kg; standard uncertainty

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.floor
---@field front? number kg; what the floor's slope adds to each front wheel
---@field left? number kg; what it adds to each left wheel

---Part of steelyard.corner_scales.rows.
---@class steelyard.corner_scales.rows.sd
---@field load number kg; standard uncertainty

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.rows
---@field what string wheel, axle or total
---@field pad string the scale under it
---@field facing string forward or back
---@field repeats number readings behind this row
---@field runs number[] of which runs
---@field load number kg; net, mean of the repeats
---@field residual number kg; read less fitted
---@field sigmas? number standardised residual
---@field sd steelyard.corner_scales.rows.sd

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.corner_scales.
---@class steelyard.corner_scales.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.corner_scales gives. Loads of the wheels there are: lf rf lr rr, f lr rr, lf rf r, or front and rear alone.
---@class steelyard.corner_scales
---@field state string what was measured in which state
---@field heading string title, kind and state
---@field title? string as given
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field mass number kg; all wheels
---@field front number kg; front wheels
---@field rear number kg; rear wheels
---@field left? number kg; left wheels
---@field right? number kg; right wheels
---@field lf? number kg; left front
---@field rf? number kg; right front
---@field lr? number kg; left rear
---@field rr? number kg; right rear
---@field f? number kg; the one front wheel
---@field r? number kg; the one rear wheel
---@field front_share number %; of the mass
---@field left_share? number %; of the mass
---@field cross_share? number %; right front and left rear, of the mass
---@field diagonal_ratio? number that over the other diagonal
---@field pad? table<string, number> kg; what each pad reads too much, as far as swapping shows it
---@field drift? number kg; the largest move of a zero between before and after
---@field repeatability? number kg; standard deviation of repeats
---@field closure? number kg; largest difference between totals of the car, where it was weighed whole in several ways
---@field floor? steelyard.corner_scales.floor
---@field rows steelyard.corner_scales.rows[]
---@field dof number observations less unknowns
---@field chi2? number sum of squares of the fit
---@field p? number chance of readings that disagree so much
---@field aboard? steelyard.corner_scales.aboard[]
---@field file? steelyard.corner_scales.file
---@field readings_file? steelyard.corner_scales.readings_file
---@field other_files? steelyard.corner_scales.other_files[]
---@field version? string of steelyard
---@field sd steelyard.corner_scales.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.corner_scales, path: string, o?: steelyard.options.picture): string writes its picture

---Part of steelyard.part_cg.sd.
---@class steelyard.part_cg.sd.cg
---@field x? number mm; standard uncertainty
---@field y? number mm; standard uncertainty
---@field z? number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.part_cg.sd
---@field mass? number kg; standard uncertainty
---@field cg steelyard.part_cg.sd.cg

---Part of steelyard.part_cg.
---@class steelyard.part_cg.cg
---@field x? number mm; where determined
---@field y? number mm; where determined
---@field z? number mm; where determined

---Part of steelyard.part_cg.
---@class steelyard.part_cg.determined
---@field x boolean do the poses tell it?
---@field y boolean the same
---@field z boolean the same

---Part of steelyard.part_cg.rows.
---@class steelyard.part_cg.rows.sd
---@field load number kg; standard uncertainty as stated

---Part of steelyard.part_cg.
---@class steelyard.part_cg.rows
---@field pose number in the order given
---@field support string its name
---@field load number kg; net of tare
---@field residual number kg; read less fitted
---@field redundancy number 0 to 1: the share of an error that shows
---@field sigmas? number standardised residual; none where nothing is stated or nothing checks it
---@field sd steelyard.part_cg.rows.sd

---Part of steelyard.part_cg.
---@class steelyard.part_cg.suspect
---@field pose number the one reading that does not fit
---@field support string the same

---Part of steelyard.part_cg.
---@class steelyard.part_cg.budget
---@field of string x, y or z
---@field source string what its uncertainty comes from, the largest first
---@field u number mm; standard uncertainty by it
---@field share number %; of the variance

---Part of steelyard.part_cg.
---@class steelyard.part_cg.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.part_cg.
---@class steelyard.part_cg.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.part_cg.
---@class steelyard.part_cg.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.part_cg.
---@class steelyard.part_cg.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.part_cg gives. Places are in the part's axes.
---@class steelyard.part_cg
---@field state string what was measured in which state
---@field heading string title, kind and state
---@field title? string as given
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field mass? number kg; unless an edge alone leaves it open
---@field cg steelyard.part_cg.cg
---@field determined steelyard.part_cg.determined
---@field rows steelyard.part_cg.rows[]
---@field chi2? number sum of squares of the fit
---@field dof number observations less unknowns
---@field p? number chance of readings that disagree so much
---@field suspect? steelyard.part_cg.suspect
---@field budget steelyard.part_cg.budget[]
---@field aboard? steelyard.part_cg.aboard[]
---@field file? steelyard.part_cg.file
---@field readings_file? steelyard.part_cg.readings_file
---@field other_files? steelyard.part_cg.other_files[]
---@field version? string of steelyard
---@field sd steelyard.part_cg.sd standard uncertainties under the same names

---Part of steelyard.reconciled.sd.
---@class steelyard.reconciled.sd.cg
---@field x number mm; standard uncertainty
---@field y number mm; standard uncertainty
---@field z number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.reconciled.sd
---@field mass number kg; standard uncertainty
---@field cg steelyard.reconciled.sd.cg
---@field lf? number kg; standard uncertainty
---@field rf? number kg; standard uncertainty
---@field lr? number kg; standard uncertainty
---@field rr? number kg; standard uncertainty
---@field f? number kg; standard uncertainty
---@field r? number kg; standard uncertainty
---@field cross_share? number %; standard uncertainty
---@field warp? number kg; of the first wheel's

---Part of steelyard.reconciled.
---@class steelyard.reconciled.cg
---@field x number mm; adjusted, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.reconciled.sums.
---@class steelyard.reconciled.sums.sd
---@field ledger number standard uncertainty
---@field scales? number the same
---@field both number the same

---Part of steelyard.reconciled.
---@class steelyard.reconciled.sums
---@field name string mass, cg_behind, cg_left, height
---@field unit string kg or mm
---@field ledger number as booked
---@field scales? number as measured
---@field both number adjusted
---@field sigmas? number scales less ledger over the uncertainty of both
---@field sd steelyard.reconciled.sums.sd

---Part of steelyard.reconciled.
---@class steelyard.reconciled.rows
---@field name string a line, with its groups
---@field field string mass, of one piece, or at.x and so on
---@field unit string kg or mm
---@field before number as booked; a place in file axes of the car
---@field after number adjusted
---@field sd number standard uncertainty of after
---@field sd_before number as stated
---@field sigmas number standardised residual: its square is what chi2 would lose were this error free
---@field way? string of a place: forward, left or up
---@field moved? number mm; that way

---Part of steelyard.reconciled.suspect.
---@class steelyard.reconciled.suspect.tied
---@field what string all errors that explain it too, itself first, the likelier before the others
---@field likely? boolean true for those that the page names: at most 20 times less likely than the first
---@field text string all of it in words
---@field why? string of a mass: the slip
---@field rest number chi2 that is left then
---@field field string as above
---@field sigmas? number the same
---@field would_be? number the same
---@field unit? string the same
---@field says string the same
---@field off? number mm; the same
---@field way? string the same
---@field exact? boolean the same

---Part of steelyard.reconciled.
---@class steelyard.reconciled.suspect
---@field what string the line, wheel, scale, person, tank, state or usual omission whose one error explains it, the likeliest; only where the stated uncertainties do not
---@field field string mass, at.x and so on, reading, bias or gain; aboard, state, fill, exchanged, unit, digits or forgotten
---@field sigmas? number standardised residual
---@field would_be? number its value then
---@field unit? string of that
---@field says string the same in words
---@field text string all of it in words, as on the page
---@field why? string of a mass: the slip
---@field likely? boolean the page names it
---@field rest number chi2 that is left then
---@field enough? boolean chance explains that
---@field off? number mm; of a place
---@field way? string forward, left or up
---@field exact? boolean it has no stated uncertainty
---@field tied steelyard.reconciled.suspect.tied[]

---Part of steelyard.reconciled.missing.
---@class steelyard.reconciled.missing.sd
---@field mass number kg; standard uncertainty
---@field at? table<string, number> mm; the same

---Part of steelyard.reconciled.
---@class steelyard.reconciled.missing
---@field mass number kg; scales less ledger
---@field sigmas number over its uncertainty
---@field clear boolean beyond its 95 %
---@field at? table<string, number> mm; where it must sit if it is one thing, file axes; where it is clear
---@field sd steelyard.reconciled.missing.sd

---Part of steelyard.reconciled.
---@class steelyard.reconciled.readings
---@field what string wheel or axle
---@field read number kg; by the scale
---@field after number kg; adjusted
---@field sd number kg; standard uncertainty of after
---@field sd_before number kg; of the reading
---@field sigmas number standardised residual

---Part of steelyard.reconciled.
---@class steelyard.reconciled.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.reconciled.
---@class steelyard.reconciled.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.reconciled.
---@class steelyard.reconciled.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.reconciled.
---@class steelyard.reconciled.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:reconcile gives. Loads of the wheels there are, as adjusted. sd of a row is that of `after`.
---@class steelyard.reconciled
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions and cautions, each a sentence
---@field fits boolean chance exceeds the chi-square in 5 % of cases or more
---@field chi2 number of all adjustments
---@field dof number values measured: mass, place along and across, height
---@field p number chance of a larger chi2, were all uncertainties right
---@field mass number kg; adjusted
---@field cg steelyard.reconciled.cg
---@field lines number booked lines aboard
---@field measured_height? number mm; as given
---@field sums steelyard.reconciled.sums[]
---@field rows steelyard.reconciled.rows[]
---@field suspect? steelyard.reconciled.suspect
---@field missing? steelyard.reconciled.missing
---@field readings steelyard.reconciled.readings[]
---@field lf? number kg; left front; the others likewise
---@field rf? number kg; right front
---@field lr? number kg; left rear
---@field rr? number kg; right rear
---@field f? number kg; the one front wheel
---@field r? number kg; the one rear wheel
---@field warp? table<string, number> kg; four wheels: what each carries beyond an even split
---@field cross_share? number %; right front and left rear, of the mass
---@field car? steelyard.car the corrected car, where it was asked for
---@field aboard? steelyard.reconciled.aboard[]
---@field file? steelyard.reconciled.file
---@field readings_file? steelyard.reconciled.readings_file
---@field other_files? steelyard.reconciled.other_files[]
---@field version? string of steelyard
---@field sd steelyard.reconciled.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.recorded.sd
---@field mass? number kg; standard uncertainty
---@field height? number mm; standard uncertainty
---@field front_share? number %; standard uncertainty
---@field left_share? number %; standard uncertainty
---@field cross_share? number %; standard uncertainty

---Part of steelyard.recorded.rows.
---@class steelyard.recorded.rows.sd
---@field read? number standard uncertainty
---@field ledger? number the same

---Part of steelyard.recorded.
---@class steelyard.recorded.rows
---@field name string mass, cg_behind, cg_left, height, yaw_inertia and so on; a wheel, axle or point
---@field unit string kg, mm or kg m2
---@field read number by the record
---@field ledger? number of the car as it then stood
---@field gap? number read less ledger
---@field sigmas? number gap over its uncertainty, of readings and ledger together, where both state one
---@field sd steelyard.recorded.rows.sd

---Part of steelyard.recorded.
---@class steelyard.recorded.against
---@field ledger table<string, number> rows[].ledger by name
---@field sigmas table<string, number> rows[].sigmas by name

---Part of steelyard.recorded.
---@class steelyard.recorded.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.recorded.
---@class steelyard.recorded.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.recorded.
---@class steelyard.recorded.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.recorded.
---@class steelyard.recorded.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:record gives.
---@class steelyard.recorded
---@field state string the load state it was measured in
---@field heading string the car as it then stood
---@field notes string[] assumptions and cautions, each a sentence
---@field name string of the record
---@field kind string corners, axles, lift, ride heights or assembly
---@field date? string as in the file
---@field who? string the same
---@field instrument? string the same
---@field of? string the assembly
---@field note? string as in the file
---@field stood_in? string the vehicle file of the car as it then stood; without it this file as written
---@field reading table<string, number|string|table<string, number|table<string, number>>>|steelyard.corner_scales|steelyard.cg_height of corners and axles what sy.corner_scales gives, of a lift what car:cg_height gives; of ride heights `heights`, of an assembly `mass`, `cg`, `inertia`; each with its sd
---@field headline string the same in a word
---@field mass? number kg; as read
---@field height? number mm; of the CG, as read
---@field front_share? number %; as read
---@field left_share? number %; the same
---@field cross_share? number %; right front and left rear, as read
---@field rows steelyard.recorded.rows[]
---@field against steelyard.recorded.against
---@field sigmas? number the largest of them
---@field fits? boolean the stated uncertainties explain the difference
---@field p? number chance of a larger difference
---@field aboard? steelyard.recorded.aboard[]
---@field file? steelyard.recorded.file
---@field readings_file? steelyard.recorded.readings_file
---@field other_files? steelyard.recorded.other_files[]
---@field version? string of steelyard
---@field sd steelyard.recorded.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.built.sd
---@field mass number kg; standard uncertainty
---@field front_share number %; standard uncertainty
---@field left_share number %; standard uncertainty
---@field cross_share? number %; standard uncertainty
---@field height number mm; standard uncertainty

---Part of steelyard.built.records.
---@class steelyard.built.records.rows
---@field what string mass, forward (of the first axle line), left, height or up
---@field unit string kg or mm
---@field read number by the record
---@field booked number in the ledger as it then stood
---@field reconciled number after all records
---@field sigmas number read less booked over the uncertainty of both

---Part of steelyard.built.
---@class steelyard.built.records
---@field name string of the record
---@field kind string corners, axles, lift or assembly
---@field state string it was measured in
---@field rows steelyard.built.records.rows[]
---@field loads? table<string, number> kg; by wheel or axle, reconciled
---@field chi2 number of this record alone
---@field p number chance of a larger one
---@field fits boolean chance exceeds it in 5 % of cases or more

---Part of steelyard.built.
---@class steelyard.built.suspect
---@field record string the record furthest from the ledger, where they do not fit
---@field sigmas number its largest

---Part of steelyard.built.
---@class steelyard.built.left_out
---@field name string a record that was not taken
---@field why string why

---Part of steelyard.built.
---@class steelyard.built.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.built.
---@class steelyard.built.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.built.
---@class steelyard.built.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.built.
---@class steelyard.built.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What `steelyard as_built` prints.
---@class steelyard.built
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] each a sentence
---@field records steelyard.built.records[]
---@field fits boolean all of them together
---@field chi2 number the same
---@field dof number values measured
---@field p number chance of a larger chi2
---@field suspect? steelyard.built.suspect
---@field left_out? steelyard.built.left_out[]
---@field mass number kg; as built
---@field front_share number %; the same
---@field left_share number %; the same
---@field cross_share? number %; right front and left rear
---@field height number mm; of the CG
---@field aboard? steelyard.built.aboard[]
---@field file? steelyard.built.file
---@field readings_file? steelyard.built.readings_file
---@field other_files? steelyard.built.other_files[]
---@field version? string of steelyard
---@field sd steelyard.built.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.records.sd

---Part of steelyard.records.
---@class steelyard.records.entry
---@field name string of the record
---@field kind string corners, axles, lift, ride heights or assembly
---@field date? string as in the file
---@field state? string the load state it was measured in
---@field stood_in? string the vehicle file of the car as it then stood
---@field headline? string what it says in a word
---@field sigmas? number its largest, against the ledger as it then stood
---@field placed boolean it speaks of this file, or of one whose lines pair with it
---@field why? string why it is not, or cannot be worked out

---Part of steelyard.records.
---@class steelyard.records.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.records.
---@class steelyard.records.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.records.
---@class steelyard.records.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.records.
---@class steelyard.records.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:records gives: a list with the fields below in each entry, and the others beside the list.
---@class steelyard.records
---@field state string the load state of the car asked
---@field heading string title, state and changes
---@field notes string[] each a sentence
---@field [integer] steelyard.records.entry
---@field aboard? steelyard.records.aboard[]
---@field file? steelyard.records.file
---@field readings_file? steelyard.records.readings_file
---@field other_files? steelyard.records.other_files[]
---@field version? string of steelyard
---@field sd steelyard.records.sd standard uncertainties under the same names

---Part of steelyard.hung.sd.
---@class steelyard.hung.sd.cg
---@field x number mm; standard uncertainty
---@field y number mm; standard uncertainty
---@field z number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.hung.sd
---@field cg steelyard.hung.sd.cg

---Part of steelyard.hung.
---@class steelyard.hung.cg
---@field x number mm; in axes of the part
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.hung.rows.
---@class steelyard.hung.rows.sd
---@field miss number mm; how far its own uncertainty lets it wander there, one way

---Part of steelyard.hung.
---@class steelyard.hung.rows
---@field line number in the order given
---@field name? string of the line
---@field miss number mm; its distance from the CG
---@field below number mm; from the hanging point down to the CG
---@field sd steelyard.hung.rows.sd

---Part of steelyard.hung.
---@class steelyard.hung.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.hung.
---@class steelyard.hung.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.hung.
---@class steelyard.hung.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.hung.
---@class steelyard.hung.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.hang_cg gives.
---@class steelyard.hung
---@field state string what was measured in which state
---@field heading string title, kind and state
---@field title? string as given
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field cg steelyard.hung.cg
---@field miss number mm; the largest distance of a line from it
---@field rows steelyard.hung.rows[]
---@field chi2 number of one point on all lines
---@field dof number 2 lines - 3
---@field p number chance of lines that disagree so much
---@field suspect? number the one line without which the others agree
---@field aboard? steelyard.hung.aboard[]
---@field file? steelyard.hung.file
---@field readings_file? steelyard.hung.readings_file
---@field other_files? steelyard.hung.other_files[]
---@field version? string of steelyard
---@field sd steelyard.hung.sd standard uncertainties under the same names

---Part of steelyard.remainder.sd.
---@class steelyard.remainder.sd.cg
---@field x? number mm; standard uncertainty
---@field y? number mm; standard uncertainty
---@field z? number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.remainder.sd
---@field mass number kg; standard uncertainty
---@field cg steelyard.remainder.sd.cg
---@field inertia? table<string, number> kg m2; standard uncertainty

---Part of steelyard.remainder.
---@class steelyard.remainder.cg
---@field x? number mm; where both weighings know it
---@field y? number mm; the same
---@field z? number mm; the same

---Part of steelyard.remainder.
---@class steelyard.remainder.budget
---@field of string x, y or z
---@field source string what its uncertainty comes from, the largest first
---@field u number mm; standard uncertainty by it
---@field share number %; of the variance

---Part of steelyard.remainder.whole.
---@class steelyard.remainder.whole.sd
---@field mass number kg; standard uncertainty
---@field cg? table<string, number> mm; the same

---Part of steelyard.remainder.
---@class steelyard.remainder.whole
---@field mass number kg; as weighed with it
---@field cg? table<string, number> mm; the same
---@field sd steelyard.remainder.whole.sd

---Part of steelyard.remainder.without.
---@class steelyard.remainder.without.sd
---@field mass number kg; standard uncertainty
---@field cg? table<string, number> mm; the same

---Part of steelyard.remainder.
---@class steelyard.remainder.without
---@field mass number kg; as weighed without it
---@field cg? table<string, number> mm; the same
---@field sd steelyard.remainder.without.sd

---Part of steelyard.remainder.
---@class steelyard.remainder.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.remainder.
---@class steelyard.remainder.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.remainder.
---@class steelyard.remainder.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.remainder.
---@class steelyard.remainder.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.subtract gives.
---@class steelyard.remainder
---@field state string what was measured in which state
---@field heading string title, kind and state
---@field title? string as given
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field mass number kg; of what is left
---@field cg steelyard.remainder.cg
---@field inertia? table<string, number> kg m2; about its CG, where both are known: xx yy zz xy xz yz
---@field blow_up number mass of the whole / its own: how much more its CG moves than that of the whole
---@field budget steelyard.remainder.budget[]
---@field whole steelyard.remainder.whole
---@field without steelyard.remainder.without
---@field aboard? steelyard.remainder.aboard[]
---@field file? steelyard.remainder.file
---@field readings_file? steelyard.remainder.readings_file
---@field other_files? steelyard.remainder.other_files[]
---@field version? string of steelyard
---@field sd steelyard.remainder.sd standard uncertainties under the same names

---Part of steelyard.cg_height.sd.
---@class steelyard.cg_height.sd.cg
---@field x? number mm; standard uncertainty
---@field y? number mm; standard uncertainty
---@field z number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.cg_height.sd
---@field height number mm; standard uncertainty
---@field mass number kg; standard uncertainty
---@field cg steelyard.cg_height.sd.cg
---@field front_share? number %; standard uncertainty
---@field left_share? number %; standard uncertainty
---@field cg_behind? number mm; standard uncertainty
---@field cg_left? number mm; standard uncertainty
---@field pad number kg; of one pad, widened where the readings scatter

---Part of steelyard.cg_height.
---@class steelyard.cg_height.interval
---@field low number mm; of the interval that holds it
---@field high number mm; the same
---@field coverage number with this probability
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom; none when all uncertainties are stated

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.height
---@field low number mm; the same as interval
---@field high number mm; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.mass
---@field low number kg; of the mass
---@field high number kg; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.cg_behind
---@field low number mm; of the place behind the front axle
---@field high number mm; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.cg_left
---@field low number mm; of the place left of the centre
---@field high number mm; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.front_share
---@field low number %; of the front share
---@field high number %; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.intervals.
---@class steelyard.cg_height.intervals.left_share
---@field low number %; of the left share, of a side lift
---@field high number %; the same
---@field coverage number 0.95
---@field factor number its half-width / sd
---@field dof? number effective degrees of freedom

---Part of steelyard.cg_height.
---@class steelyard.cg_height.intervals
---@field height steelyard.cg_height.intervals.height
---@field mass steelyard.cg_height.intervals.mass
---@field cg_behind? steelyard.cg_height.intervals.cg_behind
---@field cg_left? steelyard.cg_height.intervals.cg_left
---@field front_share? steelyard.cg_height.intervals.front_share
---@field left_share? steelyard.cg_height.intervals.left_share

---Part of steelyard.cg_height.
---@class steelyard.cg_height.cg
---@field x? number mm; behind the front axle, or the file's x
---@field y? number mm; right of the centre, or the file's y, from four pads
---@field z number mm; height, or the file's z

---Part of steelyard.cg_height.rows.
---@class steelyard.cg_height.rows.sd
---@field height? number mm; standard uncertainty
---@field load number kg; of the load as read

---Part of steelyard.cg_height.
---@class steelyard.cg_height.rows
---@field run string its run
---@field what string in words
---@field lifted string the end that is up, or level
---@field lift? number mm; as read
---@field angle number deg; tilt of the body, by lift or angle
---@field end_read string the end whose load is shown: the one that stays, if it was read
---@field load number kg; as read
---@field other_load? number kg; on the other end: as read, else what is left of the mass; not on a plane
---@field blocks? string[] that it stands on
---@field touches? string[] what of the car would then be below the ground, by its file
---@field residual number kg; read less fitted
---@field sigmas? number residual over its own uncertainty; none where the fit cannot test it
---@field redundancy number share of an error that would show in the residual
---@field height? number mm; from this reading with its run's level
---@field sd steelyard.cg_height.rows.sd

---Part of steelyard.cg_height.
---@class steelyard.cg_height.runs
---@field run string name
---@field readings number how many
---@field front? number kg; level load, fitted
---@field rear? number kg; the same
---@field left? number kg; the same, of a side lift
---@field right? number kg; the same
---@field sd table<string, number> kg; by the same names

---Part of steelyard.cg_height.
---@class steelyard.cg_height.touches
---@field what string point or part of the file that would have been below the ground; else the first to touch
---@field part boolean a part, by its shape; false: a point of the file
---@field lifted string with this end up
---@field angle number deg; from which on
---@field lift? number mm; from which on
---@field below? number mm; below the ground at its steepest reading

---Part of steelyard.cg_height.jack.
---@class steelyard.cg_height.jack.front
---@field back number mm; where the body was held with the front up: behind the front axle
---@field height number mm; above the ground when level

---Part of steelyard.cg_height.jack.
---@class steelyard.cg_height.jack.rear
---@field back number mm; the same, with the rear up
---@field height number mm; the same

---Part of steelyard.cg_height.
---@class steelyard.cg_height.jack
---@field front? steelyard.cg_height.jack.front
---@field rear? steelyard.cg_height.jack.rear

---Part of steelyard.cg_height.
---@class steelyard.cg_height.suspect
---@field what? string the load or lift that is off
---@field reading? string of which reading
---@field run? string in which run
---@field lift? number as read
---@field sigmas? number how far off
---@field critical? number what chance allows, 5 % over all
---@field tied? string[] what would look just the same, were it wrong

---Part of steelyard.cg_height.
---@class steelyard.cg_height.hysteresis
---@field end string axle with the largest gap between two runs' levels
---@field gap number kg; to less from
---@field sd number kg; of the gap
---@field sigmas number gap / sd
---@field clear boolean more than 2 sigmas
---@field from string a run
---@field to string a run
---@field height_with_one_level? number mm; what one level for all runs would have said

---Part of steelyard.cg_height.
---@class steelyard.cg_height.trend
---@field change number mm; of the height from level to the steepest tilt, were it to change
---@field sd number mm; of that change
---@field sigmas number change / sd
---@field to number deg; steepest tilt
---@field clear boolean more than 2 sigmas

---Part of steelyard.cg_height.
---@class steelyard.cg_height.budget
---@field source string what the uncertainty comes from, the largest first
---@field u number mm; standard uncertainty by it
---@field share number %; of the variance

---Part of steelyard.cg_height.against.
---@class steelyard.cg_height.against.sd
---@field ledger? number mm; of its height
---@field gap? number mm; of the gap
---@field mass_gap? number kg; of that gap

---Part of steelyard.cg_height.
---@class steelyard.cg_height.against
---@field name? string what it is held against
---@field ledger? number mm; its height
---@field gap? number mm; measured less that
---@field sigmas? number gap over the uncertainty of both
---@field agrees? boolean within the 95 % of both
---@field sd steelyard.cg_height.against.sd
---@field mass? number kg; its mass
---@field mass_gap? number kg; measured less that
---@field mass_agrees? boolean within the 95 % of both

---Part of steelyard.cg_height.at_ride.
---@class steelyard.cg_height.at_ride.sd
---@field height number mm; standard uncertainty

---Part of steelyard.cg_height.
---@class steelyard.cg_height.at_ride
---@field height number mm; at the ride height asked for
---@field rise number mm; of the CG
---@field front number mm; up at the front axle
---@field rear number mm; up at the rear axle
---@field sd steelyard.cg_height.at_ride.sd

---Part of steelyard.cg_height.with_driver.
---@class steelyard.cg_height.with_driver.sd
---@field height number mm; standard uncertainty

---Part of steelyard.cg_height.
---@class steelyard.cg_height.with_driver
---@field name string who
---@field mass number kg; of the person
---@field at number mm; height of the person's CG
---@field height number mm; of the CG then
---@field total number kg; the mass then
---@field sd steelyard.cg_height.with_driver.sd

---Part of steelyard.cg_height.without_driver.
---@class steelyard.cg_height.without_driver.sd
---@field height number mm; standard uncertainty

---Part of steelyard.cg_height.
---@class steelyard.cg_height.without_driver
---@field name string who
---@field mass number kg; of the person
---@field at number mm; height of the person's CG
---@field height number mm; of the CG then
---@field total number kg; the mass then
---@field sd steelyard.cg_height.without_driver.sd

---Part of steelyard.cg_height.
---@class steelyard.cg_height.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.cg_height.
---@class steelyard.cg_height.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.cg_height.
---@class steelyard.cg_height.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.cg_height.
---@class steelyard.cg_height.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.cg_height and car:cg_height give. Side lifts answer left_share and cg.y in place of front_share and cg.x.
---@class steelyard.cg_height
---@field state string as weighed, in which load state
---@field heading string title and state
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field title? string as given
---@field height number mm; of the CG above the ground, as the car stood level
---@field interval steelyard.cg_height.interval
---@field intervals steelyard.cg_height.intervals
---@field mass number kg; mean of the runs
---@field cg steelyard.cg_height.cg
---@field cg_behind? number mm; behind the front axle, whatever the axes
---@field cg_left? number mm; left of the centre, whatever the axes; from four pads or a side lift
---@field front_share? number %; level
---@field left_share? number %; level, of a side lift
---@field wheelbase number mm; or the track of a side lift
---@field radii table<string, number> mm; as used
---@field by string wheel, jack or angle
---@field on string pads, or a plane that tilts with them
---@field suspension string locked or free
---@field rows steelyard.cg_height.rows[]
---@field runs steelyard.cg_height.runs[]
---@field touches? steelyard.cg_height.touches[]
---@field chi2 number of the fit
---@field dof number readings to spare
---@field p? number chance of a larger chi2
---@field widened number factor on pads and lifts when the readings scatter more than stated, else 1
---@field run_sd? number kg; of a level load from run to run, when they differ more than the readings explain
---@field held? boolean true when by angle at a jacking point
---@field jack? steelyard.cg_height.jack
---@field suspect? steelyard.cg_height.suspect
---@field hysteresis? steelyard.cg_height.hysteresis
---@field trend? steelyard.cg_height.trend
---@field budget steelyard.cg_height.budget[]
---@field spoils string the one thing that spoils it, in words
---@field against? steelyard.cg_height.against
---@field at_ride? steelyard.cg_height.at_ride
---@field with_driver? steelyard.cg_height.with_driver
---@field without_driver? steelyard.cg_height.without_driver
---@field aboard? steelyard.cg_height.aboard[]
---@field file? steelyard.cg_height.file
---@field readings_file? steelyard.cg_height.readings_file
---@field other_files? steelyard.cg_height.other_files[]
---@field version? string of steelyard
---@field sd steelyard.cg_height.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.cg_height, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.lift_plan.sd
---@field height number mm; of the height of the CG that the plan comes to

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.choices
---@field lift number mm; the same from so many repeats
---@field angle number deg; its tilt
---@field repeats number times up and down
---@field half_width number mm; what it is good to

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.touches
---@field point string a low point, the first to touch first
---@field lift? number mm; at which it touches; none up to 20 degrees
---@field back number mm; behind the front axle
---@field height number mm; above the ground, level

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.pads_needed
---@field sd number kg; pads that would do in one session
---@field lift? number mm; up to this lift, where nothing touches yet

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.expected
---@field lift number mm; what the pads will read at this lift, by the height assumed
---@field angle number deg; its tilt
---@field front number kg; both front pads
---@field rear number kg; both rear pads
---@field lf? number kg; that pad, each axle shared as level
---@field rf? number kg; the same
---@field lr? number kg; the same
---@field rr? number kg; the same
---@field per_10_mm number kg; more on the axle that stays down were the CG 10 mm higher

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.lift_plan.
---@class steelyard.lift_plan.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.plan_lift, car:plan_lift and result:plan give.
---@class steelyard.lift_plan
---@field state string as weighed, in which load state
---@field heading string title and state
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field title? string as given
---@field within number mm; asked for, 95 %
---@field lifted string rear or front
---@field possible boolean up to 20 degrees, or the most that was allowed
---@field lift number mm; least lift that does it, or the highest
---@field angle number deg; its tilt
---@field repeats number times up and down
---@field steps number each way
---@field half_width number mm; what it is then good to, 95 %
---@field pad number kg; standard uncertainty of one pad, its step among it
---@field choices steelyard.lift_plan.choices[]
---@field touches steelyard.lift_plan.touches[]
---@field pads_needed? steelyard.lift_plan.pads_needed
---@field expected steelyard.lift_plan.expected[]
---@field expected_height number mm; height of the CG that was assumed
---@field blocks number mm; equal blocks under all four pads, 20 mm to spare; 0 when none are needed
---@field limited_by string what most of the uncertainty comes from
---@field limited_share number %; how much of it
---@field aboard? steelyard.lift_plan.aboard[]
---@field file? steelyard.lift_plan.file
---@field readings_file? steelyard.lift_plan.readings_file
---@field other_files? steelyard.lift_plan.other_files[]
---@field version? string of steelyard
---@field sd steelyard.lift_plan.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.handling.sd

---Part of steelyard.handling.entry.
---@class steelyard.handling.entry.sd
---@field mass number kg; standard uncertainty

---Part of steelyard.handling.entry.
---@class steelyard.handling.entry.size
---@field long number mm; the larger level extent as it stands in the car; none without a shape
---@field short number mm; the smaller one, which keeps the hands off
---@field tall number mm; upright

---Part of steelyard.handling.entry.
---@class steelyard.handling.entry.strip
---@field name string what to take off, in order of what can come off, most kilograms first
---@field kg number kg; with what comes along
---@field with? string[] what lies inside and comes along
---@field left number kg; what is left then

---Part of steelyard.handling.entry.
---@class steelyard.handling.entry.kept
---@field name string what cannot come off then
---@field why string what holds it

---Part of steelyard.handling.
---@class steelyard.handling.entry
---@field name string as in the file
---@field path string with its groups
---@field kind string part, tank or group
---@field depth number groups around it
---@field pieces number 2 for a pair, the count else: each is lifted by itself
---@field mass? number kg; as lifted: of one piece
---@field sd steelyard.handling.entry.sd
---@field lift string one person, two people, team (three), hoist or unknown
---@field near? string why it may belong to the next heavier lift
---@field whole boolean an assembly that was weighed whole
---@field why? string why its size asks for more people than its mass
---@field size? steelyard.handling.entry.size
---@field hands? number mm; of one person, before the ankles
---@field shaped? boolean some of it has a shape in the file
---@field strip steelyard.handling.entry.strip[]
---@field left? number kg; left at the end
---@field left_lift? string who lifts that
---@field base? string the heaviest piece, which stays
---@field kept steelyard.handling.entry.kept[]

---Part of steelyard.handling.
---@class steelyard.handling.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.handling.
---@class steelyard.handling.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.handling.
---@class steelyard.handling.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.handling.
---@class steelyard.handling.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:handling gives: a list of what is aboard, persons left out, and the others beside the list.
---@class steelyard.handling
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.handling.entry
---@field limit number kg; for one person
---@field aboard? steelyard.handling.aboard[]
---@field file? steelyard.handling.file
---@field readings_file? steelyard.handling.readings_file
---@field other_files? steelyard.handling.other_files[]
---@field version? string of steelyard
---@field sd steelyard.handling.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.hoist.sd
---@field mass number kg; standard uncertainty
---@field pitch number deg; standard uncertainty
---@field roll number deg; standard uncertainty

---Part of steelyard.hoist.
---@class steelyard.hoist.cg
---@field x number mm; of what is lifted, as it stands, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.hoist.
---@class steelyard.hoist.hangs_from
---@field x number mm; where the hook is with these legs, seen from the part as it stands, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.hoist.legs.
---@class steelyard.hoist.legs.at
---@field x number mm; of that point as it stands, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.hoist.legs.
---@class steelyard.hoist.legs.sd
---@field tension number kg; standard uncertainty

---Part of steelyard.hoist.
---@class steelyard.hoist.legs
---@field at steelyard.hoist.legs.at
---@field point string where it holds on
---@field length number mm; to the hook
---@field tension number kg; what a scale in it would read
---@field angle number deg; from the upright
---@field slack boolean carries nothing
---@field slack_by? number mm; then: longer than it takes
---@field status string near over 45 deg or slack by 1 mm and less, fail over 60 or slack
---@field sd steelyard.hoist.legs.sd

---Part of steelyard.hoist.
---@class steelyard.hoist.hook
---@field x number mm; where the hook belongs so that it hangs as it is to be fitted, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.hoist.
---@class steelyard.hoist.fit
---@field lengths number[] mm; legs for that
---@field pitch? number deg; how it hangs then
---@field roll? number deg; the same
---@field off? number deg; how far that is from what was asked
---@field move_point? string of a single leg: how its point would have to move

---Part of steelyard.hoist.
---@class steelyard.hoist.boom
---@field reach number mm; of a position of the boom
---@field kg number kg; its rating
---@field margin number kg; from what hangs on it to that
---@field status string pass, near, fail or unknown
---@field used boolean the rating that counts at this reach

---Part of steelyard.hoist.
---@class steelyard.hoist.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.hoist.
---@class steelyard.hoist.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.hoist.
---@class steelyard.hoist.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.hoist.
---@class steelyard.hoist.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:hoist gives.
---@class steelyard.hoist
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field what string as asked
---@field mass number kg; lifted
---@field tackle number kg; on the boom besides
---@field pitch number deg; nose up, from how it stands now
---@field roll number deg; left side up
---@field off number deg; between how it hangs and how it is to be fitted; near over 10
---@field parts string[] what is lifted, with groups
---@field cg steelyard.hoist.cg
---@field hangs_from steelyard.hoist.hangs_from
---@field legs steelyard.hoist.legs[]
---@field slack string[] points whose legs carry nothing
---@field chosen boolean no legs were given: those shown would fit
---@field shared boolean four legs are tight: how they share rests on all being equally tight
---@field hook steelyard.hoist.hook
---@field hook_shift? string from where it is, in words
---@field fit steelyard.hoist.fit
---@field boom? steelyard.hoist.boom[]
---@field boom_margin? number kg; to the rating at the next longer position
---@field status string pass, near, fail or unknown
---@field why string in words
---@field aboard? steelyard.hoist.aboard[]
---@field file? steelyard.hoist.file
---@field readings_file? steelyard.hoist.readings_file
---@field other_files? steelyard.hoist.other_files[]
---@field version? string of steelyard
---@field sd steelyard.hoist.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.hoist, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.markout.sd

---Part of steelyard.markout.entry.
---@class steelyard.markout.entry.tapes
---@field a number mm; from tape point A
---@field b number mm; from B

---Part of steelyard.markout.entry.
---@class steelyard.markout.entry.sd
---@field x? number mm; standard uncertainty by the two tapes; none on the line between A and B
---@field y? number mm; the same

---Part of steelyard.markout.
---@class steelyard.markout.entry
---@field name string what to chalk
---@field assembly string the group at the top, wheels, shafts or car
---@field x number mm; on the floor
---@field y number mm; the same
---@field height number mm; above the floor at ride height
---@field tapes steelyard.markout.entry.tapes
---@field sd steelyard.markout.entry.sd
---@field crossing? number deg; at which the tapes cross; none on the line between A and B
---@field poor boolean the tapes cross at less than 30 deg
---@field why? string in words

---Part of steelyard.markout.
---@class steelyard.markout.tape_points
---@field x number mm; A, then B
---@field y number mm; the same

---Part of steelyard.markout.trolleys.
---@class steelyard.markout.trolleys.sd
---@field load? number kg; standard uncertainty, of two places along the car

---Part of steelyard.markout.
---@class steelyard.markout.trolleys
---@field name string as asked
---@field x? number mm; on the floor
---@field y? number mm; the same; of a place along the car that one of the two alone
---@field height? number mm; of a point
---@field load number kg; what it carries
---@field share number %; of the whole
---@field sd steelyard.markout.trolleys.sd

---Part of steelyard.markout.
---@class steelyard.markout.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.markout.
---@class steelyard.markout.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.markout.
---@class steelyard.markout.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.markout.
---@class steelyard.markout.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:markout gives: a list of marks, and the others beside the list. Floor coordinates are the file's own.
---@class steelyard.markout
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.markout.entry
---@field level string[] the letters of the file's two level axes, along which x and y here run
---@field tape_points steelyard.markout.tape_points[]
---@field tape_sd number mm; of a length
---@field trolleys steelyard.markout.trolleys[]
---@field mass number kg; of everything aboard in this state
---@field aboard? steelyard.markout.aboard[]
---@field file? steelyard.markout.file
---@field readings_file? steelyard.markout.readings_file
---@field other_files? steelyard.markout.other_files[]
---@field version? string of steelyard
---@field sd steelyard.markout.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.markout, path: string, o?: steelyard.options.picture): string writes its picture

---Part of steelyard.survey.sd.
---@class steelyard.survey.sd.shift
---@field x number mm; standard uncertainty
---@field y number mm; standard uncertainty

---Standard uncertainties.
---@class steelyard.survey.sd
---@field turn number deg; standard uncertainty
---@field shift steelyard.survey.sd.shift

---Part of steelyard.survey.
---@class steelyard.survey.shift
---@field x number mm; the same, after the turn about the datum
---@field y number mm; the same
---@field height? number mm; mean, where heights were measured

---Part of steelyard.survey.rows.
---@class steelyard.survey.rows.off
---@field x number mm; measured less fitted
---@field y number mm; the same

---Part of steelyard.survey.
---@class steelyard.survey.rows
---@field name string of the point, sorted
---@field x number mm; as measured
---@field y number mm; the same
---@field off steelyard.survey.rows.off
---@field miss number mm; how far that is
---@field rise? number mm; measured less drawn height, less the mean
---@field sigmas? number the larger standardised residual; none where the survey cannot tell

---Part of steelyard.survey.others.
---@class steelyard.survey.others.shift
---@field x number mm; the same
---@field y number mm; the same

---Part of steelyard.survey.
---@class steelyard.survey.others
---@field turn number deg; without the suspect
---@field shift steelyard.survey.others.shift
---@field miss number mm; largest of the others then

---Part of steelyard.survey.
---@class steelyard.survey.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.survey.
---@class steelyard.survey.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.survey.
---@class steelyard.survey.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.survey.
---@class steelyard.survey.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.survey gives.
---@class steelyard.survey
---@field turn number deg; of the measured points against the drawing, from x towards y
---@field shift steelyard.survey.shift
---@field rows steelyard.survey.rows[]
---@field fits boolean no residual beyond what chance exceeds in 5 % of surveys
---@field suspect? string the point that does not fit
---@field tied? string[] points of which one does not fit, and the survey cannot say which
---@field others? steelyard.survey.others
---@field chi2 number sum of squared residuals by their uncertainties
---@field dof number readings less three
---@field notes string[] assumptions, each a sentence
---@field aboard? steelyard.survey.aboard[]
---@field file? steelyard.survey.file
---@field readings_file? steelyard.survey.readings_file
---@field other_files? steelyard.survey.other_files[]
---@field version? string of steelyard
---@field sd steelyard.survey.sd standard uncertainties under the same names

---Part of steelyard.stands.sd.
---@class steelyard.stands.sd.kg_to_tip
---@field front? number kg; standard uncertainty
---@field rear? number kg; standard uncertainty

---Standard uncertainties.
---@class steelyard.stands.sd
---@field margin number mm; standard uncertainty
---@field kg_to_tip steelyard.stands.sd.kg_to_tip

---Part of steelyard.stands.
---@class steelyard.stands.places
---@field x number mm; of each, in that order, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.stands.
---@class steelyard.stands.kg_to_tip
---@field front? number kg; set down at the nose; none where it never tips
---@field rear? number kg; at the tail

---Part of steelyard.stands.pulled_at.
---@class steelyard.stands.pulled_at.front
---@field name string what lies foremost; none when it tips by itself
---@field kind string shape, point, tyre, cg (of a part without shape) or given
---@field x number mm; of that point, file axes
---@field y number mm; of that point, file axes
---@field z number mm; of that point, file axes
---@field ahead number mm; of the front axle

---Part of steelyard.stands.pulled_at.
---@class steelyard.stands.pulled_at.rear
---@field name string what lies rearmost
---@field kind string the same
---@field x number mm; of that point, file axes
---@field y number mm; of that point, file axes
---@field z number mm; of that point, file axes
---@field ahead number mm; of the front axle, so below 0

---Part of steelyard.stands.
---@class steelyard.stands.pulled_at
---@field front? steelyard.stands.pulled_at.front
---@field rear? steelyard.stands.pulled_at.rear

---Part of steelyard.stands.steps.
---@class steelyard.stands.steps.kg_to_tip
---@field front? number kg; then
---@field rear? number kg; then

---Part of steelyard.stands.steps.pulled_at.
---@class steelyard.stands.steps.pulled_at.front
---@field name string then
---@field kind string then
---@field x number mm; then
---@field y number mm; then
---@field z number mm; then
---@field ahead number mm; then

---Part of steelyard.stands.steps.pulled_at.
---@class steelyard.stands.steps.pulled_at.rear
---@field name string then
---@field kind string then
---@field x number mm; then
---@field y number mm; then
---@field z number mm; then
---@field ahead number mm; then

---Part of steelyard.stands.steps.
---@class steelyard.stands.steps.pulled_at
---@field front? steelyard.stands.steps.pulled_at.front
---@field rear? steelyard.stands.steps.pulled_at.rear

---Part of steelyard.stands.steps.
---@class steelyard.stands.steps.cg
---@field x number mm; of the car then, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.stands.steps.sd.
---@class steelyard.stands.steps.sd.kg_to_tip
---@field front? number kg; the same
---@field rear? number kg; the same

---Part of steelyard.stands.steps.
---@class steelyard.stands.steps.sd
---@field margin number mm; standard uncertainty
---@field kg_to_tip steelyard.stands.steps.sd.kg_to_tip

---Part of steelyard.stands.
---@class steelyard.stands.steps
---@field what string as it stands, or without what
---@field mass number kg; then
---@field person number kg; then
---@field loads table<string, number> kg; then
---@field margin number mm; then
---@field edge string[] then
---@field kg_to_tip steelyard.stands.steps.kg_to_tip
---@field pulled_at steelyard.stands.steps.pulled_at
---@field cg steelyard.stands.steps.cg
---@field tips boolean then
---@field even boolean then
---@field status string pass, near, fail or unknown
---@field why string in words
---@field sd steelyard.stands.steps.sd

---Part of steelyard.stands.
---@class steelyard.stands.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.stands.
---@class steelyard.stands.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.stands.
---@class steelyard.stands.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.stands.
---@class steelyard.stands.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:stands gives: of the last step, and of every one.
---@class steelyard.stands
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field stands string[] their names
---@field places steelyard.stands.places[]
---@field loads table<string, number> kg; by stand, all 0 when it tips
---@field mass number kg; of the car
---@field margin number mm; of the CG to the nearest edge, negative when it tips
---@field edge string[] the two stands it would tip over
---@field kg_to_tip steelyard.stands.kg_to_tip
---@field person number kg; what a person pulling counts: 30, or half the mass of what weighs under 60
---@field pulled_at steelyard.stands.pulled_at
---@field tips boolean by itself
---@field even boolean more than three stands share the load as if all gave alike
---@field steps steelyard.stands.steps[]
---@field status string the worst of all steps
---@field why string in words
---@field aboard? steelyard.stands.aboard[]
---@field file? steelyard.stands.file
---@field readings_file? steelyard.stands.readings_file
---@field other_files? steelyard.stands.other_files[]
---@field version? string of steelyard
---@field sd steelyard.stands.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.stands, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.clearances.sd
---@field [integer] number mm; of each gap, by its place in the list

---Part of steelyard.clearances.
---@class steelyard.clearances.entry
---@field name string as in the file
---@field a string part, group, wheel or place
---@field b string the other, or ground
---@field at string design, bump, droop, steer or rock
---@field gap? number mm; least distance; below 0 by how far roundings or marks overlap
---@field overlap? boolean they touch or overlap
---@field asked? number mm; the gap to keep
---@field leaves? boolean true when a was swept along its way out
---@field margin? number mm; gap less asked
---@field status string pass, near, fail or unknown
---@field why string in words
---@field sd? number mm; standard uncertainty from the places of the two parts
---@field errors? table<string, number> mm; effect of one standard uncertainty of each place
---@field nearest? table<string, {x: number, y: number, z: number}> a and b: the nearest points {x, y, z}, file axes, without roundings
---@field faces? table<string, {x: number, y: number, z: number}> a and b: the two points of the surfaces, roundings and all, between which the gap is

---Part of steelyard.clearances.
---@class steelyard.clearances.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.clearances.
---@class steelyard.clearances.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.clearances.
---@class steelyard.clearances.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.clearances.
---@class steelyard.clearances.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:clearances gives: a list of gaps, and the others beside the list.
---@class steelyard.clearances
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.clearances.entry
---@field tightest? number mm; the gap that keeps least of what is asked
---@field status string the worst of fail > unknown > near > pass
---@field aboard? steelyard.clearances.aboard[]
---@field file? steelyard.clearances.file
---@field readings_file? steelyard.clearances.readings_file
---@field other_files? steelyard.clearances.other_files[]
---@field version? string of steelyard
---@field sd steelyard.clearances.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.clearances, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.overlaps.sd
---@field [integer] number mm; of each gap, by its place in the list; 0 of what intersects

---Part of steelyard.overlaps.
---@class steelyard.overlaps.entry
---@field a string part with its groups
---@field b string the other
---@field overlap boolean|number mm; true when they intersect, else the gap
---@field mass number kg; of the lighter body

---Part of steelyard.overlaps.
---@class steelyard.overlaps.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.overlaps.
---@class steelyard.overlaps.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.overlaps.
---@class steelyard.overlaps.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.overlaps.
---@class steelyard.overlaps.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:overlaps gives: a list of pairs, those that intersect first, by the mass of the lighter body; then by the gap.
---@class steelyard.overlaps
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.overlaps.entry
---@field gap number mm; as asked
---@field bodies number parts aboard with a shape, pieces of pairs by themselves
---@field left_out number pairs that were found and belong together: bolted, pieces of one part, a liquid in its tank
---@field aboard? steelyard.overlaps.aboard[]
---@field file? steelyard.overlaps.file
---@field readings_file? steelyard.overlaps.readings_file
---@field other_files? steelyard.overlaps.other_files[]
---@field version? string of steelyard
---@field sd steelyard.overlaps.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.shafts.sd
---@field worst_angle? number deg; standard uncertainty

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.worst_at
---@field travel number mm; where that is, up positive
---@field joint string inner or outer
---@field steer? number deg; steered to the left positive

---Part of steelyard.shafts.entry.at.ride.
---@class steelyard.shafts.entry.at.ride.outer_at
---@field x number mm; of the outer joint at ride height, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.shafts.entry.at.
---@class steelyard.shafts.entry.at.ride
---@field inner number deg; angle of the inner joint at ride height
---@field outer number deg; of the outer joint
---@field length number mm; at ride height
---@field plunge number mm; longer than the cut length or, without one, than at ride height
---@field outer_at steelyard.shafts.entry.at.ride.outer_at

---Part of steelyard.shafts.entry.at.droop.
---@class steelyard.shafts.entry.at.droop.outer_at
---@field x number mm; of the outer joint at full droop, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.shafts.entry.at.
---@class steelyard.shafts.entry.at.droop
---@field inner number deg; angle of the inner joint at full droop
---@field outer number deg; of the outer joint
---@field length number mm; at full droop
---@field plunge number mm; longer than the cut length or, without one, than at ride height
---@field outer_at steelyard.shafts.entry.at.droop.outer_at

---Part of steelyard.shafts.entry.at.bump.
---@class steelyard.shafts.entry.at.bump.outer_at
---@field x number mm; of the outer joint at full bump, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.shafts.entry.at.
---@class steelyard.shafts.entry.at.bump
---@field inner number deg; angle of the inner joint at full bump
---@field outer number deg; of the outer joint
---@field length number mm; at full bump
---@field plunge number mm; longer than the cut length or, without one, than at ride height
---@field outer_at steelyard.shafts.entry.at.bump.outer_at

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.at
---@field ride? steelyard.shafts.entry.at.ride
---@field droop? steelyard.shafts.entry.at.droop
---@field bump? steelyard.shafts.entry.at.bump

---Part of steelyard.shafts.entry.listed.
---@class steelyard.shafts.entry.listed.outer_at
---@field x number mm; of the outer joint there, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.listed
---@field travel number mm; a travel asked for
---@field inner number deg; angle of the inner joint there
---@field outer number deg; of the outer joint
---@field length number mm; there
---@field plunge number mm; as above
---@field outer_at steelyard.shafts.entry.listed.outer_at

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.inner_at
---@field x number mm; of the inner joint, file axes
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.travels
---@field droop number mm; reckoned with
---@field bump number mm; the same

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.ripple
---@field inner? number %; speed ripple of a Cardan joint at ride height, fastest less slowest
---@field outer? number %; the same
---@field both? number %; of the two together

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.lead
---@field inner? number deg; how far a Cardan joint runs ahead of and behind an even turn at most, at ride height
---@field outer? number deg; the same
---@field both? number deg; of the two together

---Part of steelyard.shafts.entry.
---@class steelyard.shafts.entry.checks
---@field what string static angle, worst angle, plunge, plunge from the cut length, equivalent angle
---@field unit string of its numbers: deg, plunges mm
---@field value? number in that unit
---@field limit? number the same
---@field basis string where the limit comes from: file or common practice
---@field margin? number to the limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why? string why it is unknown

---Part of steelyard.shafts.
---@class steelyard.shafts.entry
---@field name string as in the file
---@field side? string left or right, of the wheel it drives
---@field joint string cv or cardan
---@field status string pass, near, fail or unknown
---@field why string in words
---@field static_angle? number deg; the larger joint angle at ride height; none when a place is not known
---@field worst_angle? number deg; the largest over the travel, and steered if the file says so
---@field worst_at? steelyard.shafts.entry.worst_at
---@field at? steelyard.shafts.entry.at
---@field listed? steelyard.shafts.entry.listed[]
---@field inner_at? steelyard.shafts.entry.inner_at
---@field travels? steelyard.shafts.entry.travels
---@field offset? string where the outer joint lies from the inner one, in words
---@field plunge_used? number mm; longest less shortest over the travel
---@field plunge_status? string pass, near, fail or unknown; unknown when the file gives no allowance, which spoils no angle
---@field cut_length? number mm; as the file says it was cut
---@field cut_for? number mm; a length that shares the plunge evenly
---@field ripple? steelyard.shafts.entry.ripple
---@field lead? steelyard.shafts.entry.lead
---@field equivalent_angle? number deg; of the one Cardan joint that turns as unevenly as the two
---@field checks steelyard.shafts.entry.checks[]
---@field sd table<string, number> standard uncertainties of static_angle, worst_angle and plunge_used from what the file states of the joints' places

---Part of steelyard.shafts.
---@class steelyard.shafts.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.shafts.
---@class steelyard.shafts.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.shafts.
---@class steelyard.shafts.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.shafts.
---@class steelyard.shafts.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:shafts gives: a list of shafts, and the others beside the list. Lengths are between joint centres.
---@class steelyard.shafts
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field [integer] steelyard.shafts.entry
---@field worst_angle? number deg; of all shafts
---@field status string the worst of fail > unknown > near > pass
---@field aboard? steelyard.shafts.aboard[]
---@field file? steelyard.shafts.file
---@field readings_file? steelyard.shafts.readings_file
---@field other_files? steelyard.shafts.other_files[]
---@field version? string of steelyard
---@field sd steelyard.shafts.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.shafts, path: string, o?: steelyard.options.picture): string writes its picture

---What sy.vary gives.
---@class steelyard.vary
---@field name string in results: item and way, or the setting
---@field what? steelyard.what as given
---@field way? string as given
---@field kind string move, turn, field, fill, swap, state or setting
---@field unit? string of the values, where the way says it
---@field from? number least or first value
---@field to? number greatest or last value
---@field n? number how many
---@field values? number[] all; of words 1, 2 and so on
---@field words? string[] names, of states, swaps and bars
---@field ranged? boolean from, to and not a list
---@field shares? string[] fills in percent, as given

---Part of steelyard.study.
---@class steelyard.study.inputs
---@field name string item and way
---@field label string as printed
---@field unit string of the values
---@field kind string as sy.vary says
---@field values (number|string)[] numbers or words; of a range its ends

---Part of steelyard.study.
---@class steelyard.study.outputs
---@field name string of the quantity
---@field label string as printed
---@field unit string of it
---@field decimals number as printed
---@field unknown number variants in which it is not known

---Part of steelyard.study.
---@class steelyard.study.counts
---@field pass number variants
---@field near number inside, by less than their uncertainty
---@field fail number that break a limit
---@field unknown number not decided

---Part of steelyard.study.
---@class steelyard.study.judged
---@field name string of a limit
---@field quantity string of it
---@field unit string of its numbers
---@field min? number in its unit
---@field max? number in its unit
---@field from string file or study
---@field state? string in which it is judged, where it names one

---Part of steelyard.study.
---@class steelyard.study.wishes
---@field name string an output wished for, in order; where there is a front
---@field way string least or most

---Part of steelyard.study.
---@class steelyard.study.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.study.
---@class steelyard.study.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.study.
---@class steelyard.study.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.study.
---@class steelyard.study.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.study gives. What is not known is nil in a column, empty in CSV and null in JSON.
---@class steelyard.study
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field n number variants, without what is folded
---@field shape? number[] of a grid: values of each input
---@field method string as asked
---@field seed? number of a Latin hypercube
---@field inputs steelyard.study.inputs[]
---@field outputs steelyard.study.outputs[]
---@field columns table<string, steelyard.column> by name of input and output: an entry a variant
---@field sd? table<string, steelyard.column> standard uncertainties by name of output; without any unless asked for
---@field verdict? steelyard.column of each variant: pass, near, fail or unknown; where there are limits
---@field counts? steelyard.study.counts
---@field feasible? number that keep all limits: pass and near
---@field judged? steelyard.study.judged[]
---@field summary table<string, table<string, number>> by output: min, max, mean, at_min and at_max, numbers of variants
---@field folded? string[] inputs that worst_over folds
---@field lowest? table<string, steelyard.column> least answer over what is folded
---@field highest? table<string, steelyard.column> greatest
---@field lowest_at? table<string, steelyard.column> where that is, in words
---@field highest_at? table<string, steelyard.column> the same
---@field front? number[] variants in the front, from the least of the first output wished for
---@field wishes? steelyard.study.wishes[]
---@field asked table<string, number> answers of the car itself, by output
---@field asked_sd table<string, number> their standard uncertainties
---@field solved_singly number cars solved each by itself, of what is folded each combination: those that lift a wheel, meet a stop or have liquid that runs, and all whose answers or verdicts no other way gives
---@field n_done? number of a study that was stopped: how many variants there are
---@field shard? number[] which of how many, of one shard
---@field hash string what was asked of which car by which version: the same for all shards
---@field status? string fail where no variant is feasible, else pass or near; where there are limits
---@field aboard? steelyard.study.aboard[]
---@field file? steelyard.study.file
---@field readings_file? steelyard.study.readings_file
---@field other_files? steelyard.study.other_files[]
---@field version? string of steelyard
---@field plot fun(self: steelyard.study, path: string, o?: steelyard.options.picture): string writes its picture

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.histogram
---@field from number where the first bin begins
---@field to number where the last one ends
---@field counts number[] draws in each of 16384 bins of one width
---@field under number draws below all bins
---@field over number and above

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.probability
---@field below? number as asked
---@field above? number as asked
---@field p number share of draws
---@field sd number standard deviation that so many draws leave it
---@field at_most? number of none of n draws: 3 / n, with 95 %
---@field at_least? number of all of them: 1 - 3 / n

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.inputs
---@field what string line, wheel, axle or instrument, the one that counts most first, at most twelve
---@field field string of it: mass, x, fill, growth, spring_rate and so on
---@field correlation? number of its draws with those of the quantity

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.spread_quantity.
---@class steelyard.spread_quantity.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What a simulation says of one quantity, in its unit.
---@class steelyard.spread_quantity
---@field unit string of the numbers
---@field mean? number of the draws; this and the next not where no draw has an answer
---@field sd? number their standard deviation, of two draws or more
---@field mean_error? number standard deviation that so many draws leave the mean
---@field sd_error? number and the standard deviation
---@field p2_5? number 2.5 % of draws lie below; counted in bins
---@field p50? number half of them
---@field p97_5? number 97.5 % of them
---@field low? number the least of all draws
---@field high? number the greatest
---@field first_order? number the answer where all that is drawn has its mean
---@field first_order_sd? number its standard uncertainty as every page has it, with growth where that is drawn
---@field agrees? boolean mean and sd are those of first order, but for a tenth and a fiftieth of the sd and three errors
---@field why? string they are not, or nothing can be said
---@field unknown number draws in which there is no answer
---@field histogram steelyard.spread_quantity.histogram
---@field probability? steelyard.spread_quantity.probability[]
---@field inputs steelyard.spread_quantity.inputs[]
---@field aboard? steelyard.spread_quantity.aboard[]
---@field file? steelyard.spread_quantity.file
---@field readings_file? steelyard.spread_quantity.readings_file
---@field other_files? steelyard.spread_quantity.other_files[]
---@field version? string of steelyard

---Part of steelyard.spread.
---@class steelyard.spread.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.spread.
---@class steelyard.spread.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.spread.
---@class steelyard.spread.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.spread.
---@class steelyard.spread.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.spread gives; each quantity also stands under its own name, as in r.front_share.sd.
---@class steelyard.spread
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field draws number as asked
---@field seed number as asked
---@field growth boolean as asked
---@field names string[] what is shown, in order
---@field quantities table<string, steelyard.spread_quantity> by name
---@field correlation table<string, table<string, number>> of each two, over the draws that have all
---@field unknown number draws that lack an answer, of the quantity that lacks it most often
---@field n_done? number of one that was stopped: how many draws there are
---@field shard? number[] which of how many, of one shard
---@field hash string what was asked of which car by which version: the same for all shards
---@field aboard? steelyard.spread.aboard[]
---@field file? steelyard.spread.file
---@field readings_file? steelyard.spread.readings_file
---@field other_files? steelyard.spread.other_files[]
---@field version? string of steelyard
---@field plot fun(self: steelyard.spread, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.seek.sd
---@field [string] number of each answer reached, also of the nearest place, by the name of its quantity

---Part of steelyard.seek.
---@class steelyard.seek.moves
---@field name string of an input: item and way
---@field value number to set it to, rounded
---@field unit string of the value
---@field words string the same in words

---Part of steelyard.seek.
---@class steelyard.seek.binding
---@field kind string bound, limit or target
---@field name string of the input, limit or quantity
---@field value number the bound, limit or target
---@field unit string of it
---@field gain? number what one unit more room would give, to first order: of what is aimed at, or of the one miss
---@field gains? string which quantity that is

---Part of steelyard.seek.
---@class steelyard.seek.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.seek.nearest.
---@class steelyard.seek.nearest.moves
---@field name string of an input: item and way
---@field value number to set it to, rounded
---@field unit string of the value
---@field words string the same in words

---Part of steelyard.seek.nearest.
---@class steelyard.seek.nearest.hinders
---@field kind string bound, limit or target
---@field name string of the input, limit or quantity
---@field value number the bound, limit or target
---@field unit string of it
---@field gain? number what one unit more room would give, to first order: of what is aimed at, or of the one miss
---@field gains? string which quantity that is

---Part of steelyard.seek.
---@class steelyard.seek.nearest
---@field car? steelyard.car where it is impossible: the nearest that there is
---@field moves steelyard.seek.nearest.moves[]
---@field what_if? string[] the same as changes for `steelyard what_if`; nil where it has no words for an input, as for a setting
---@field reached table<string, number> by name; by quantity asked for: the answer then, of the worst of what is folded
---@field reached_at? table<string, string> in which of what is folded that is
---@field misses table<string, number> by name; by target: the answer less the target
---@field hinders steelyard.seek.nearest.hinders[]

---Part of steelyard.seek.
---@class steelyard.seek.tried
---@field starts number from how many places it was sought
---@field agree number how many led as far as the best

---Part of steelyard.seek.
---@class steelyard.seek.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.seek.
---@class steelyard.seek.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.seek.
---@class steelyard.seek.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.seek.
---@class steelyard.seek.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.seek gives. Of what is folded by worst_over the worst counts everywhere.
---@class steelyard.seek
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field possible boolean targets are reached and limits kept
---@field why? string it is impossible
---@field car? steelyard.car the car so changed; what is folded is as in the car asked about
---@field moves steelyard.seek.moves[]
---@field what_if? string[] the same as changes for `steelyard what_if`; nil where it has no words for an input, as for a setting
---@field reached table<string, number> by name; by quantity asked for: the answer then, of the worst of what is folded
---@field reached_at? table<string, string> in which of what is folded that is
---@field misses table<string, number> by name; by target: the answer less the target
---@field binding steelyard.seek.binding[]
---@field limits? steelyard.seek.limits[]
---@field nearest? steelyard.seek.nearest
---@field within table<string, number> by name; by target: how far off counts as reached
---@field asked table<string, number> by name; answers of the car itself, by quantity
---@field asked_sd table<string, number> by name; their standard uncertainties
---@field tried steelyard.seek.tried
---@field seed number as asked
---@field method string SLSQP, or COBYLA where that found nothing
---@field status? string fail where it is impossible, else the worst of the limits
---@field aboard? steelyard.seek.aboard[]
---@field file? steelyard.seek.file
---@field readings_file? steelyard.seek.readings_file
---@field other_files? steelyard.seek.other_files[]
---@field version? string of steelyard
---@field sd steelyard.seek.sd standard uncertainties under the same names

---Part of steelyard.scene_wheel.
---@class steelyard.scene_wheel.at
---@field x number mm; of its middle
---@field y number mm; the same
---@field z number mm; the same

---A wheel of a scene.
---@class steelyard.scene_wheel
---@field at steelyard.scene_wheel.at
---@field radius number mm; its loaded radius
---@field width? number mm; of its tyre, where a part says it
---@field axle string name of its axle
---@field side string left, right or middle

---Standard uncertainties.
---@class steelyard.scene.sd
---@field mass number kg; standard uncertainty
---@field front_share number %; standard uncertainty
---@field height number mm; standard uncertainty
---@field cg_behind number mm; standard uncertainty
---@field cg_left number mm; standard uncertainty

---Part of steelyard.scene.axes.
---@class steelyard.scene.axes.forward
---@field axis string letter of the file's axis that runs that way or against it
---@field sign number 1 that way, -1 against it
---@field zero number mm; the file's coordinate on the ground under the front axle, in the centre plane

---Part of steelyard.scene.axes.
---@class steelyard.scene.axes.left
---@field axis string letter of the file's axis that runs that way or against it
---@field sign number 1 that way, -1 against it
---@field zero number mm; the file's coordinate on the ground under the front axle, in the centre plane

---Part of steelyard.scene.axes.
---@class steelyard.scene.axes.up
---@field axis string letter of the file's axis that runs that way or against it
---@field sign number 1 that way, -1 against it
---@field zero number mm; the file's coordinate on the ground under the front axle, in the centre plane

---Part of steelyard.scene.
---@class steelyard.scene.axes
---@field forward steelyard.scene.axes.forward
---@field left steelyard.scene.axes.left
---@field up steelyard.scene.axes.up

---Part of steelyard.scene.bodies.
---@class steelyard.scene.bodies.at
---@field x number mm; of its CG
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.bodies.
---@class steelyard.scene.bodies.sd_at
---@field x number mm; standard uncertainty
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.bodies.
---@class steelyard.scene.bodies.liquid
---@field litres number litre; in a tank
---@field capacity? number litre; of it
---@field level? number mm; upright coordinate of its surface, of a tank that stands level

---Part of steelyard.scene.
---@class steelyard.scene.bodies
---@field path string with its groups and its side
---@field name string as in the file
---@field group? string the group at the top
---@field kind string part, tank or person
---@field basis? string estimate, calculated, supplier or weighed
---@field mass number kg; of all its pieces
---@field pieces number at this place
---@field pair? boolean one piece of a pair
---@field at steelyard.scene.bodies.at
---@field sd_at steelyard.scene.bodies.sd_at
---@field wheel? string that carries the whole of it
---@field carried? string axle whose wheels carry it
---@field shape? string word of its shape
---@field outlines? table<string, number[][][]> mm; side {fore-aft, upright}, plan {fore-aft, across}, front {across, upright}
---@field liquid? steelyard.scene.bodies.liquid

---Part of steelyard.scene.
---@class steelyard.scene.axles
---@field name string of the axle
---@field at number mm; fore-aft coordinate of its line
---@field load number kg; on it
---@field sd number kg; standard uncertainty

---Part of steelyard.scene.points.
---@class steelyard.scene.points.at
---@field x number mm; where it is
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.
---@class steelyard.scene.points
---@field name string of a point of the file
---@field at steelyard.scene.points.at

---Part of steelyard.scene.shafts.
---@class steelyard.scene.shafts.inner
---@field x number mm; its inner joint
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.shafts.
---@class steelyard.scene.shafts.outer
---@field x number mm; its outer joint
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.
---@class steelyard.scene.shafts
---@field name string of a shaft whose joints are known
---@field inner steelyard.scene.shafts.inner
---@field outer steelyard.scene.shafts.outer

---Part of steelyard.scene.gaps.
---@class steelyard.scene.gaps.at_a
---@field x number mm; nearest point of a
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.gaps.
---@class steelyard.scene.gaps.at_b
---@field x number mm; of b
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.
---@class steelyard.scene.gaps
---@field name string as in the file
---@field a string part, group, wheel or place
---@field b string the other
---@field gap? number mm; least distance
---@field asked? number mm; to keep
---@field status string pass, near, fail or unknown
---@field at_a? steelyard.scene.gaps.at_a
---@field at_b? steelyard.scene.gaps.at_b

---Part of steelyard.scene.lift.
---@class steelyard.scene.lift.pivot
---@field x number mm; about which it turned: among the wheels that stand
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.
---@class steelyard.scene.lift
---@field lifted string of the pose "lift": the end that is up
---@field lift? number mm; how far its wheels are up
---@field angle number deg; tilt of the car
---@field pivot steelyard.scene.lift.pivot

---Part of steelyard.scene.
---@class steelyard.scene.ground
---@field z number mm; upright coordinate of the ground
---@field slope number deg; 0: level, else tilted with the car

---Part of steelyard.scene.cg.
---@class steelyard.scene.cg.at
---@field x number mm; of the car as it stands
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.cg.
---@class steelyard.scene.cg.sd
---@field x number mm; standard uncertainty
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.scene.cg.ellipses.
---@class steelyard.scene.cg.ellipses.side
---@field long number mm; longer half axis of the ellipse that covers 95 %
---@field short number mm; the shorter one
---@field turn number deg; of the longer one, from the view's first axis of the file to its second

---Part of steelyard.scene.cg.ellipses.
---@class steelyard.scene.cg.ellipses.plan
---@field long number mm; longer half axis of the ellipse that covers 95 %
---@field short number mm; the shorter one
---@field turn number deg; of the longer one, from the view's first axis of the file to its second

---Part of steelyard.scene.cg.ellipses.
---@class steelyard.scene.cg.ellipses.front
---@field long number mm; longer half axis of the ellipse that covers 95 %
---@field short number mm; the shorter one
---@field turn number deg; of the longer one, from the view's first axis of the file to its second

---Part of steelyard.scene.cg.
---@class steelyard.scene.cg.ellipses
---@field side? steelyard.scene.cg.ellipses.side
---@field plan? steelyard.scene.cg.ellipses.plan
---@field front? steelyard.scene.cg.ellipses.front

---Part of steelyard.scene.
---@class steelyard.scene.cg
---@field at steelyard.scene.cg.at
---@field sd steelyard.scene.cg.sd
---@field ellipses steelyard.scene.cg.ellipses

---Part of steelyard.scene.extent.
---@class steelyard.scene.extent.x
---@field from number mm; least coordinate of outlines, masses and wheels
---@field to number mm; greatest

---Part of steelyard.scene.extent.
---@class steelyard.scene.extent.y
---@field from number mm; least coordinate of outlines, masses and wheels
---@field to number mm; greatest

---Part of steelyard.scene.extent.
---@class steelyard.scene.extent.z
---@field from number mm; least coordinate of outlines, masses and wheels
---@field to number mm; greatest

---Part of steelyard.scene.
---@class steelyard.scene.extent
---@field x steelyard.scene.extent.x
---@field y steelyard.scene.extent.y
---@field z steelyard.scene.extent.z

---Part of steelyard.scene.
---@class steelyard.scene.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.scene.
---@class steelyard.scene.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.scene.
---@class steelyard.scene.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.scene.
---@class steelyard.scene.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:scene gives: mm and kg along the file's axes. Outlines are closed loops of {a, b}, along the view's two axes.
---@class steelyard.scene
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field title string of the file
---@field named? string what car:named called the car
---@field changes string[] made since the file was read, in words
---@field pose string as asked
---@field axes steelyard.scene.axes
---@field bodies steelyard.scene.bodies[]
---@field wheels table<string, steelyard.scene_wheel> by wheel
---@field axles steelyard.scene.axles[]
---@field points steelyard.scene.points[]
---@field shafts steelyard.scene.shafts[]
---@field gaps steelyard.scene.gaps[]
---@field lift? steelyard.scene.lift
---@field ground steelyard.scene.ground
---@field cg steelyard.scene.cg
---@field extent steelyard.scene.extent
---@field loads table<string, number> kg; of each wheel
---@field lifted string[] wheels with a negative load
---@field mass number kg; of everything aboard
---@field front_share number %; on the first axle
---@field height number mm; of the CG above the ground
---@field cg_behind number mm; behind the front axle
---@field cg_left number mm; left of the centre plane
---@field wheelbase number mm; first to last axle
---@field aboard? steelyard.scene.aboard[]
---@field file? steelyard.scene.file
---@field readings_file? steelyard.scene.readings_file
---@field other_files? steelyard.scene.other_files[]
---@field version? string of steelyard
---@field sd steelyard.scene.sd standard uncertainties under the same names

---Standard uncertainties.
---@class steelyard.drawing.sd
---@field mass number kg; standard uncertainty
---@field front_share number %; standard uncertainty
---@field cg_height number mm; standard uncertainty
---@field cg_behind number mm; standard uncertainty
---@field cg_left number mm; standard uncertainty
---@field axles number[] kg; of each load

---Part of steelyard.drawing.
---@class steelyard.drawing.axles
---@field name string of the axle
---@field load number kg; on it

---Part of steelyard.drawing.
---@class steelyard.drawing.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.drawing.
---@class steelyard.drawing.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.drawing.
---@class steelyard.drawing.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.drawing.
---@class steelyard.drawing.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:draw and the pictures of results are.
---@class steelyard.drawing
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field view? string of car:draw, as asked
---@field picture? string which picture of a result it is
---@field width number mm; of the picture on paper
---@field height number mm; of the picture
---@field scale? number 25 for 1:25
---@field mass? number kg; as printed in it
---@field front_share? number %; the same
---@field cg_height? number mm; the same
---@field cg_behind? number mm; the same
---@field cg_left? number mm; the same
---@field wheelbase? number mm; the same
---@field axles? steelyard.drawing.axles[]
---@field loads? table<string, number> kg; of each wheel
---@field texts string[] all that is written in it but the foot, in the order of drawing
---@field aboard? steelyard.drawing.aboard[]
---@field file? steelyard.drawing.file
---@field readings_file? steelyard.drawing.readings_file
---@field other_files? steelyard.drawing.other_files[]
---@field version? string of steelyard
---@field sd steelyard.drawing.sd standard uncertainties under the same names

---Part of steelyard.sensitivity_quantity.
---@class steelyard.sensitivity_quantity.entry
---@field what string name of the line, wheel, axle, instrument or record, or of the input that is varied
---@field path string of a line, with its groups
---@field field string of it: mass, fill, spring_rate and so on; forward, left, up, or out of a pair, of a place; readings of a record, bias and gain of an instrument
---@field input_unit? string of sigma, or of step, from and to
---@field sigma? number one standard uncertainty, of one piece; not where several errors are one
---@field step? number of an input that is varied: between two of its values
---@field from? number of such a one: its least value
---@field to? number and its greatest
---@field change? number of the quantity by one sigma more, to first order; by one step more, the mean over the range
---@field low? number the quantity worked out with one sigma less, or at from; nil where the car does not stand so
---@field high? number with one sigma more, or at to
---@field variance_share? number %; of the quantity's variance; not of what is varied

---What moves one quantity, the largest first, in its unit; and what stands beside the list. An error counts once: that of a pair in both pieces, an instrument's in all that was weighed on it, that of a record's readings as one.
---@class steelyard.sensitivity_quantity
---@field [integer] steelyard.sensitivity_quantity.entry
---@field unit string of the quantity
---@field value number the quantity
---@field sd? number its standard uncertainty
---@field rest_share? number %; what all others have of the variance: with those listed 100

---Standard uncertainties.
---@class steelyard.sensitivity.sd
---@field [string] number of each quantity by its name, in its unit

---Part of steelyard.sensitivity.
---@class steelyard.sensitivity.weigh_next
---@field name string the line, best first; each further one on the car as weighed and measured so far
---@field path string with its groups, for car:set
---@field field string mass, dry_mass of a tank, whole of a group that counts as weighed, or place: the coordinates that the tape knows better
---@field with string scale or tape: how well it is known then
---@field before table<string, number> by name; standard uncertainties by name before the step
---@field after table<string, number> by name; and after it: as those of the car with that line set so
---@field drop number %; what the step takes of the variance at the start; of several quantities the mean
---@field share number %; what the line has of it at the start

---Part of steelyard.sensitivity.
---@class steelyard.sensitivity.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.sensitivity.
---@class steelyard.sensitivity.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.sensitivity.
---@class steelyard.sensitivity.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.sensitivity.
---@class steelyard.sensitivity.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.sensitivity gives; each quantity also stands under its own name, as in r.front_share[1].what.
---@class steelyard.sensitivity
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field names string[] what is shown, in order
---@field quantities table<string, steelyard.sensitivity_quantity> by name
---@field rest_share table<string, number> %; by name: of the variance, what the rows do not have
---@field weigh_next steelyard.sensitivity.weigh_next[]
---@field left table<string, number> by name; standard uncertainties by name when all is done, also what is not listed
---@field scale number kg; as asked
---@field tape number mm; as asked
---@field lines number booked lines aboard
---@field aboard? steelyard.sensitivity.aboard[]
---@field file? steelyard.sensitivity.file
---@field readings_file? steelyard.sensitivity.readings_file
---@field other_files? steelyard.sensitivity.other_files[]
---@field version? string of steelyard
---@field sd steelyard.sensitivity.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.sensitivity, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.ballast.sd
---@field [string] number of each target as reached, by its name

---Part of steelyard.ballast.
---@class steelyard.ballast.binding
---@field kind string slot, limit or minimum
---@field name string which
---@field value number where it stands, in its unit
---@field unit string of the value
---@field gain number kg; what less would do without it

---Part of steelyard.ballast.nearest.
---@class steelyard.ballast.nearest.hinders
---@field kind string full (a slot at its stop), slot, slots, steps, limit, limits or targets
---@field name? string of the slot or the limit
---@field needs? number kg; what that slot would have to hold
---@field masses table<string, number> kg; by slot: what would do then
---@field words string the same as a sentence

---Part of steelyard.ballast.nearest.placed.
---@class steelyard.ballast.nearest.placed.at
---@field x number mm; as given
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.ballast.nearest.
---@class steelyard.ballast.nearest.placed
---@field name string of the slot
---@field mass number kg; in it
---@field at steelyard.ballast.nearest.placed.at
---@field steps number so many steps, or grams
---@field step? number kg; as given
---@field max number kg; as given
---@field full boolean not one step more goes in

---Part of steelyard.ballast.nearest.
---@class steelyard.ballast.nearest.minimum
---@field asked number kg; as given
---@field mass number kg; of the car, at the finish where one is given
---@field margin number kg; above it
---@field sd number kg; standard uncertainty of the mass
---@field status string pass, near, fail or unknown

---Part of steelyard.ballast.
---@class steelyard.ballast.nearest
---@field hinders steelyard.ballast.nearest.hinders[]
---@field placed? steelyard.ballast.nearest.placed[]
---@field added? number kg; in all slots
---@field car? steelyard.car the car with it: parts named as the slots
---@field after? steelyard.balance of that car; changes are against the car asked about
---@field after_finish? steelyard.balance the same at the finish, changes against the car without ballast there
---@field minimum? steelyard.ballast.nearest.minimum
---@field what_if? string[] as changes for `steelyard what_if`; nil where it has no words for a slot, as for one in a group
---@field reached? table<string, number> targets, by quantity
---@field misses? table<string, number> reached less target, by quantity
---@field height_cost? number mm; what it adds to the height of the CG
---@field yaw_cost? number kg m2; to the yaw inertia

---Part of steelyard.ballast.
---@class steelyard.ballast.tried
---@field boxes number of masses, that were bounded as a whole
---@field combinations number that were worked out one by one

---Part of steelyard.ballast.placed.
---@class steelyard.ballast.placed.at
---@field x number mm; as given
---@field y number mm; the same
---@field z number mm; the same

---Part of steelyard.ballast.
---@class steelyard.ballast.placed
---@field name string of the slot
---@field mass number kg; in it
---@field at steelyard.ballast.placed.at
---@field steps number so many steps, or grams
---@field step? number kg; as given
---@field max number kg; as given
---@field full boolean not one step more goes in

---Part of steelyard.ballast.
---@class steelyard.ballast.minimum
---@field asked number kg; as given
---@field mass number kg; of the car, at the finish where one is given
---@field margin number kg; above it
---@field sd number kg; standard uncertainty of the mass
---@field status string pass, near, fail or unknown

---Part of steelyard.ballast.
---@class steelyard.ballast.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.ballast.
---@class steelyard.ballast.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.ballast.
---@class steelyard.ballast.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.ballast.
---@class steelyard.ballast.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.ballast.
---@class steelyard.ballast.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:ballast gives: what to place where it is possible, else the nearest to it.
---@class steelyard.ballast
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field possible boolean targets, minimum and limits hold
---@field why? string why not, and what would do
---@field asked string what is wanted, in words
---@field target table<string, number> by quantity, as given, in its unit
---@field within table<string, number> by quantity: how far off is still there, as given or half of what one step of the most effective slot changes
---@field within_by_step string[] quantities of which nobody stated that
---@field binding? steelyard.ballast.binding[]
---@field nearest? steelyard.ballast.nearest
---@field tried steelyard.ballast.tried
---@field placed? steelyard.ballast.placed[]
---@field added? number kg; in all slots
---@field car? steelyard.car the car with it: parts named as the slots
---@field after? steelyard.balance of that car; changes are against the car asked about
---@field after_finish? steelyard.balance the same at the finish, changes against the car without ballast there
---@field minimum? steelyard.ballast.minimum
---@field what_if? string[] as changes for `steelyard what_if`; nil where it has no words for a slot, as for one in a group
---@field reached? table<string, number> targets, by quantity
---@field misses? table<string, number> reached less target, by quantity
---@field height_cost? number mm; what it adds to the height of the CG
---@field yaw_cost? number kg m2; to the yaw inertia
---@field limits? steelyard.ballast.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.ballast.aboard[]
---@field file? steelyard.ballast.file
---@field readings_file? steelyard.ballast.readings_file
---@field other_files? steelyard.ballast.other_files[]
---@field version? string of steelyard
---@field sd steelyard.ballast.sd standard uncertainties under the same names

---Where a quantity is least or greatest in a stint.
---@class steelyard.stint_end
---@field value number in the quantity's unit
---@field litres number litre; in the tank then
---@field driver? string who drives then, where drivers are named

---Standard uncertainties.
---@class steelyard.stint.sd
---@field [string] number of each mean by the name of its quantity, in its unit: the most it can be

---Part of steelyard.stint.
---@class steelyard.stint.rows
---@field litres number litre; in the tank; a change of drivers has a row with each
---@field driver? string who drives, where drivers are named
---@field values table<string, number> by quantity
---@field sd table<string, number> standard uncertainties by quantity, where they have one

---Part of steelyard.stint.
---@class steelyard.stint.limits
---@field name string of the limit
---@field quantity string what is limited
---@field unit string of its numbers
---@field state? string in which it is judged, where the limit names one
---@field column? string the car it is judged of, where there are several, or the ground where that is not the page's
---@field value? number in the quantity's unit; none when unknown
---@field sd? number of the value
---@field min? number lower limit
---@field max? number upper limit
---@field margin? number to the nearer limit, negative when broken
---@field status string pass, near, fail or unknown
---@field why string in words

---Part of steelyard.stint.
---@class steelyard.stint.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.stint.
---@class steelyard.stint.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.stint.
---@class steelyard.stint.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.stint.
---@class steelyard.stint.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What car:stint gives. Quantities are in their units.
---@class steelyard.stint
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field tank string that is burnt from
---@field from number litre; in it at the start
---@field to number litre; in it at the end
---@field step number litre; between rows, as asked or usual
---@field names string[] what is shown, in order
---@field rows steelyard.stint.rows[]
---@field mean table<string, number> by quantity: every litre burnt counts the same, also between rows
---@field lowest table<string, steelyard.stint_end> by quantity: the least of the rows
---@field highest table<string, steelyard.stint_end> the greatest of the rows
---@field at number litre; where the first quantity is its mean; of several places the one nearest half way
---@field at_driver? string who drives there, where drivers are named
---@field reached table<string, number> by quantity: of the car there
---@field car steelyard.car the car there, to set up
---@field limits? steelyard.stint.limits[]
---@field status? string the worst of its limits
---@field aboard? steelyard.stint.aboard[]
---@field file? steelyard.stint.file
---@field readings_file? steelyard.stint.readings_file
---@field other_files? steelyard.stint.other_files[]
---@field version? string of steelyard
---@field sd steelyard.stint.sd standard uncertainties under the same names
---@field plot fun(self: steelyard.stint, path: string, o?: steelyard.options.picture): string writes its picture

---Standard uncertainties.
---@class steelyard.report.sd

---Part of steelyard.report.
---@class steelyard.report.aboard
---@field name string persons, tanks and what the state brings along, as loaded
---@field mass number kg; of the liquid, for a tank
---@field litres? number litre; in a tank

---Part of steelyard.report.
---@class steelyard.report.file
---@field name string base name of the vehicle file, or of the readings
---@field sha256 string digest of its bytes, and behind them of each table and mesh it names
---@field changes? number made to the car since it was read

---Part of steelyard.report.
---@class steelyard.report.readings_file
---@field name string base name of the file of readings of a car
---@field sha256 string digest of its bytes

---Part of steelyard.report.
---@class steelyard.report.other_files
---@field name string of the other cars
---@field sha256 string likewise
---@field changes? number likewise

---What sy.report gives.
---@class steelyard.report
---@field state string the load state
---@field heading string title, state and changes
---@field notes string[] assumptions, warnings and cautions, each a sentence
---@field title string of the page
---@field cars number how many
---@field sections string[] their headings, in order
---@field studies string[] of each, how many of its variants the page holds
---@field fits number how many
---@field aboard? steelyard.report.aboard[]
---@field file? steelyard.report.file
---@field readings_file? steelyard.report.readings_file
---@field other_files? steelyard.report.other_files[]
---@field version? string of steelyard
---@field sd steelyard.report.sd standard uncertainties under the same names

---By wheel, those that there are: of two axles, or of more by their number from the front.
---@class steelyard.by_wheel
---@field lf? steelyard.number left front
---@field rf? steelyard.number right front
---@field lr? steelyard.number left rear
---@field rr? steelyard.number right rear
---@field f? steelyard.number single front wheel
---@field r? steelyard.number single rear wheel
---@field l1? steelyard.number left wheel of axle 1
---@field c1? steelyard.number single wheel of axle 1
---@field r1? steelyard.number right wheel of axle 1
---@field l2? steelyard.number left wheel of axle 2
---@field c2? steelyard.number single wheel of axle 2
---@field r2? steelyard.number right wheel of axle 2
---@field l3? steelyard.number left wheel of axle 3
---@field c3? steelyard.number single wheel of axle 3
---@field r3? steelyard.number right wheel of axle 3
---@field l4? steelyard.number left wheel of axle 4
---@field c4? steelyard.number single wheel of axle 4
---@field r4? steelyard.number right wheel of axle 4
---@field l5? steelyard.number left wheel of axle 5
---@field c5? steelyard.number single wheel of axle 5
---@field r5? steelyard.number right wheel of axle 5
---@field l6? steelyard.number left wheel of axle 6
---@field c6? steelyard.number single wheel of axle 6
---@field r6? steelyard.number right wheel of axle 6
---@field l7? steelyard.number left wheel of axle 7
---@field c7? steelyard.number single wheel of axle 7
---@field r7? steelyard.number right wheel of axle 7
---@field l8? steelyard.number left wheel of axle 8
---@field c8? steelyard.number single wheel of axle 8
---@field r8? steelyard.number right wheel of axle 8
---@field fl? steelyard.number another name of lf
---@field fr? steelyard.number another name of rf
---@field rl? steelyard.number another name of lr

---What sy.changes takes.
---@class steelyard.options.changes
---@field state? string load state of both; default as they are
---@field by? "mass"|"front_share"|"left_share"|"height"|"yaw_inertia" puts the largest movers of that quantity first; default file order
---@field renamed? table<string, string> new names by old ones: answers what the result asks; default none

---What sy.closure takes.
---@class steelyard.options.closure
---@field title? string for the heading; default none
---@field whole? steelyard.number kg; the assembly as weighed; default not weighed
---@field parts steelyard.options.closure_line[] what it was taken apart into
---@field extra? steelyard.number|(steelyard.number|steelyard.options.closure_line)[]|table<string, steelyard.number> kg; what the whole holds beside the parts: a mass, a list, or masses by name; default nothing
---@field scale? steelyard.options.closure_scale what one scale does to all readings alike; default no common error

---A line of a teardown: its mass, or what a scale read.
---@class steelyard.options.closure_line
---@field name? string what it is; needed in parts
---@field mass? steelyard.number|steelyard.unknown its unit; of one piece, as read; needed without weighed
---@field unit? "kg"|"g"|"lb"|"oz" of that mass; default kg
---@field count? number pieces; default 1
---@field assembly? string assembly it belongs to; default none
---@field includes? string|string[] names of lines that were weighed with it; default nothing
---@field was? steelyard.number kg; earlier estimate of one piece; default none
---@field weighed? steelyard.fields.weighed what a scale read, in place of mass and unit; default none

---What one scale does to all readings alike.
---@class steelyard.options.closure_scale
---@field bias_sd? steelyard.number kg; standard uncertainty of its zero; default 0
---@field gain_sd? steelyard.number standard uncertainty of what it shows for a kilogram; default 0

---What sy.compare takes.
---@class steelyard.options.comparison
---@field [integer] steelyard.car cars in order; the first is the baseline
---@field show? string[] names of the quantities to show, in order; default the usual ones

---What car:inertia takes.
---@class steelyard.options.inertia_of
---@field what? steelyard.what a part, a group or a tag; default the car
---@field about? string|steelyard.point mm; a point of the file or coordinates; default its CG

---What car:save takes.
---@class steelyard.options.save
---@field replace? boolean true writes over a file that is there, which is first kept as history/NAME-n.lua beside it; default false

---What sy.track takes.
---@class steelyard.options.track
---@field state? string load state of all files; default as they are
---@field car? string|string[] which car, by its title or how that begins; several where one has changed its name; default that of all files
---@field dates? table<string, string> dates by path or name of a file; default what the files state, else their names
---@field skip? boolean true leaves out what cannot be read, has no date or not the state, and says so; default false
---@field by? "mass"|"front_share"|"left_share"|"height"|"yaw_inertia" what a step's greatest lines are judged by; default front_share
---@field lines? number how many lines of a step are named; the others are added up; default 3

---What car:attitude takes.
---@class steelyard.options.attitude
---@field against? string|steelyard.car a load state or a car: heights, angles and travels are then changes against it; default the drawn heights
---@field measured? table<string, steelyard.number> mm; heights above the floor of two points of the file as measured: their rake; default nothing
---@field pads? steelyard.by_wheel mm; how much higher the pad under a wheel is; default level
---@field perches? steelyard.by_wheel turns; turns of a wheel's perch; + raises that corner; default as set
---@field bars? "off"|"connected" anti-roll bars; default off
---@field preload? steelyard.by_axle mm; difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel; default 0
---@field slope? steelyard.options.slope how the ground slopes; default level
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default false
---@field downforce? steelyard.by_axle kg; downforce over an axle, as load on its wheels; negative where air lifts; default none

---What car:corners takes.
---@class steelyard.options.corners
---@field pads? steelyard.by_wheel mm; how much higher the pad under a wheel is; default level
---@field perches? steelyard.by_wheel turns; turns of a wheel's perch; + raises that corner; default as set
---@field bars? "off"|"connected" anti-roll bars; default off
---@field preload? steelyard.by_axle mm; difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel; default 0
---@field slope? steelyard.options.slope how the ground slopes; default level
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default false

---Heights of the body at the axle lines.
---@class steelyard.options.ends
---@field front? steelyard.number mm; at the first axle; default 0
---@field rear? steelyard.number mm; at the last axle; default 0

---Heights of the body at the axle lines, from the drawn ones, up positive.
---@class steelyard.options.heights
---@field front? steelyard.number mm; at the first axle; default as now
---@field rear? steelyard.number mm; at the last axle; default as now

---What car:perches takes: a cross weight or other shares, heights, a roll, or several of them.
---@class steelyard.options.perches
---@field cross_share? steelyard.number %; cross weight (RF + LR) to reach; default free
---@field cross_weight? steelyard.number %; another name of cross_share; default free
---@field lf_share? steelyard.number %; share of the left front wheel to reach; default free
---@field rf_share? steelyard.number %; right front; default free
---@field lr_share? steelyard.number %; left rear; default free
---@field rr_share? steelyard.number %; right rear; default free
---@field front_share? steelyard.number %; front by total; perches do not change it, the answer is the nearest they reach; default free
---@field left_share? steelyard.number %; left by total; the same; default free
---@field hold? "heights"|"front heights"|"rear heights"|"least turns"|"all heights" what stays: the body at both axle lines and its mean roll, both corners of an end and the other axle line, nothing, or all four corners as well as can be; default heights
---@field heights? steelyard.options.heights heights to reach; default as now
---@field roll? steelyard.number deg; roll of the body to reach, left side up: of both ends their mean, with the heights of an end held that end's, with all held both; default as now
---@field reading? string|steelyard.options.reading|steelyard.corner_scales a record of corners by its name, what scales read of the car, or what sy.corner_scales gave; default assumed as drawn
---@field notch? steelyard.number turns; turns are rounded to that; 0 leaves them unrounded; default 0.25
---@field pads? steelyard.by_wheel mm; how much higher the pad under a wheel is; default level
---@field bars? "off"|"connected" anti-roll bars; default off
---@field preload? steelyard.by_axle mm; difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel; default 0
---@field slope? steelyard.options.slope how the ground slopes; default level
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default false

---What scales read of the car: under all four wheels, ride heights, or both.
---@class steelyard.options.reading
---@field lf? steelyard.number kg; under the left front wheel; all four or none; default not read
---@field rf? steelyard.number kg; right front; default not read
---@field lr? steelyard.number kg; left rear; default not read
---@field rr? steelyard.number kg; right rear; default not read
---@field state? string load state in which it stood on the scales; default as the car is asked about
---@field heights? table<string, steelyard.number> mm; where the body stood then: front and rear from the drawn heights, up positive, or two points of the file above the floor; default not measured

---How the ground slopes: one of nose_up and nose_down, one of left_up and right_up.
---@class steelyard.options.slope
---@field nose_up? steelyard.number deg; the car's nose stands higher; default 0
---@field nose_down? steelyard.number deg; or lower; default 0
---@field left_up? steelyard.number deg; its left side stands higher; default 0
---@field right_up? steelyard.number deg; or its right side; default 0

---What car:stability takes.
---@class steelyard.options.stability
---@field mu? steelyard.number grip, for traction and braking; default 1
---@field required? steelyard.number deg; angle of the table at which all wheels must still stand; default 60
---@field braking? steelyard.number g; steady deceleration beside the turn; default 0
---@field drive? steelyard.number g; or acceleration; default 0
---@field brake_front_share? steelyard.number %; front share of the braking force as the car is set; default not given
---@field drive_front_share? steelyard.number %; front share of the drive of a car that splits it in a fixed ratio; default not given
---@field bars? "off"|"connected" anti-roll bars; default connected
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default false
---@field downforce? steelyard.by_axle kg; downforce over an axle, as load on its wheels; negative where air lifts; counts in turns, traction and braking; default none

---What car:tank takes: steady forces.
---@class steelyard.options.tank
---@field left_turn? steelyard.number g; steady sideways acceleration in a left turn; default each at 1 g when none is given
---@field right_turn? steelyard.number g; the same in a right turn; one of the two; default each at 1 g when none is given
---@field braking? steelyard.number g; steady deceleration; default each at 1 g when none is given
---@field drive? steelyard.number g; steady acceleration; one of the two; default each at 1 g when none is given

---What car:transfer takes: a force, downforce, or both.
---@class steelyard.options.transfer
---@field left_turn? steelyard.number g; steady sideways acceleration in a left turn; default 0
---@field right_turn? steelyard.number g; the same in a right turn; one of the two; default 0
---@field braking? steelyard.number g; steady deceleration; default 0
---@field drive? steelyard.number g; steady acceleration; one of the two; default 0
---@field downforce? steelyard.by_axle kg; downforce over an axle, as load on its wheels; negative where air lifts; default none
---@field bars? "off"|"connected" anti-roll bars; default connected
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default false
---@field brake_front_share? steelyard.number %; front share of the braking force; counts where a file states the angle of links; default as the axles are loaded

---What car:cg_height takes: as sy.cg_height, but what is left out comes from the car.
---@class steelyard.options.car_cg_height
---@field title? string for the heading; default the car's heading
---@field state? string load state as weighed; default the car's
---@field wheelbase? steelyard.number|steelyard.options.sides mm; between the wheel centres, or that of each side; default the car's
---@field radii? steelyard.options.radii loaded radii; default the car's
---@field tracks? steelyard.options.tracks tracks; default the car's
---@field lifted? "rear"|"front"|"left"|"right" the end that goes up, unless a reading says otherwise; default rear
---@field by? "wheel"|"jack"|"angle" what a lift is read as: height under the tyre, height at the point jack, or angle; with jack that of a body held there; default wheel
---@field on? "pads"|"plane" level pads, or a plane that tilts with the car; default pads
---@field jack? steelyard.options.place|steelyard.options.jacks|steelyard.point the point that is lifted, or one for each end; {x, y, z} is a place in the file's axes; needed by jack
---@field suspension? "locked"|"free"|steelyard.options.wheel_rates locked springs, those of the file free, or the rates of others; default locked
---@field tyre_rate? steelyard.number|steelyard.options.wheel_rates N/mm; of one tyre; only lifts in mm ask for it; default the car's
---@field unsprung? steelyard.options.unsprung unsprung masses; default the car's
---@field tanks? "full"|"empty"|steelyard.options.lift_tank[] liquids that move as the car tilts; default as filled
---@field crown_radius? steelyard.number mm; of the tread's cross-section; needed when a side is lifted on pads
---@field blocks? table<string, steelyard.number> mm; heights by name, under both wheels; one used again errs the same; default none
---@field mass? steelyard.number kg; weighed elsewhere; default from the readings
---@field roof? steelyard.number mm; height of the roof, above which no CG is believed; default not known
---@field sd? steelyard.options.lift_sd standard uncertainties; default not stated
---@field readings steelyard.options.lift_reading[] in the order they were taken, at most 128
---@field against? steelyard.options.lift_against what the answer is held against; default the ledger
---@field at_ride? steelyard.options.ride asks for the height at another ride height; default as it stood
---@field with_driver? string|steelyard.options.with_driver asks for the height with somebody more, or with a part of that name; nobody who is aboard is added again; default nobody
---@field without_driver? string|steelyard.options.without_driver asks for the height with somebody less, or without a part of that name; default nobody

---What car:plan_lift takes: as sy.plan_lift, but what is left out comes from the car.
---@class steelyard.options.car_plan_lift
---@field title? string for the heading; default the car's heading
---@field state? string load state, for the heading; default the car's
---@field within steelyard.number mm; how good the height is to be, 95 %
---@field pads steelyard.options.plan_pads how good the pads are
---@field lifted? "rear"|"front" the end that goes up; default rear
---@field wheelbase? steelyard.number mm; between the wheel centres; default the car's
---@field radii? steelyard.options.radii loaded radii; default the car's
---@field mass? steelyard.number kg; of the car; default the car's
---@field front_share? steelyard.number %; front by total; default the car's
---@field height? steelyard.number mm; a guess of the CG's height; default the ledger's
---@field steps? number readings on the way up, at most 10; default 4
---@field low_points? steelyard.options.low_point[] what may touch the ground; default the file's points
---@field most? steelyard.number mm; the highest lift to think of; default up to 20 degrees
---@field sd? steelyard.options.plan_sd standard uncertainties; default 0
---@field lifts? steelyard.number[] mm; lifts to say the pads' readings for; default the plan's steps
---@field corners? steelyard.options.corner_loads wheel loads, level; default the car's

---What sy.cg_height takes.
---@class steelyard.options.cg_height
---@field title? string for the heading; default none
---@field state? string load state as weighed; default not stated
---@field wheelbase? steelyard.number|steelyard.options.sides mm; between the wheel centres, or that of each side; needed when an axle is lifted
---@field radii? steelyard.options.radii loaded radii; needed when an axle is lifted on pads
---@field tracks? steelyard.options.tracks tracks; with four pads they give cg.y too; needed when a side is lifted
---@field lifted? "rear"|"front"|"left"|"right" the end that goes up, unless a reading says otherwise; default rear
---@field by? "wheel"|"jack"|"angle" what a lift is read as: height under the tyre, height at the point jack, or angle; with jack that of a body held there; default wheel
---@field on? "pads"|"plane" level pads, or a plane that tilts with the car; default pads
---@field jack? steelyard.options.place|steelyard.options.jacks the point that is lifted, or one for each end; needed by jack
---@field suspension? "locked"|steelyard.options.wheel_rates locked springs, or the rates of free ones; default locked
---@field tyre_rate? steelyard.number|steelyard.options.wheel_rates N/mm; of one tyre; only lifts in mm ask for it; default rigid tyres
---@field unsprung? steelyard.options.unsprung unsprung masses; default 0
---@field tanks? "full"|"empty"|steelyard.options.lift_tank[] liquids that move as the car tilts; default full or empty
---@field crown_radius? steelyard.number mm; of the tread's cross-section; needed when a side is lifted on pads
---@field blocks? table<string, steelyard.number> mm; heights by name, under both wheels; one used again errs the same; default none
---@field mass? steelyard.number kg; weighed elsewhere; default from the readings
---@field roof? steelyard.number mm; height of the roof, above which no CG is believed; default not known
---@field sd? steelyard.options.lift_sd standard uncertainties; default not stated
---@field readings steelyard.options.lift_reading[] in the order they were taken, at most 128
---@field against? steelyard.options.lift_against what the answer is held against; default nothing
---@field at_ride? steelyard.options.ride asks for the height at another ride height; default as it stood
---@field with_driver? steelyard.options.with_driver asks for the height with somebody more; default nobody
---@field without_driver? steelyard.options.without_driver asks for the height with somebody less; default nobody

---Loads of four wheels, level.
---@class steelyard.options.corner_loads
---@field lf steelyard.number kg; left front
---@field rf steelyard.number kg; right front
---@field lr steelyard.number kg; left rear
---@field rr steelyard.number kg; right rear

---From the centre plane to each wheel of an axle.
---@class steelyard.options.half_tracks
---@field left steelyard.number mm; left wheel
---@field right steelyard.number mm; right wheel

---The point that is lifted at each end; one of the two does for both.
---@class steelyard.options.jacks
---@field front? steelyard.options.place when the front is up; default as the rear
---@field rear? steelyard.options.place when the rear is up; default as the front

---What a measured height is held against.
---@class steelyard.options.lift_against
---@field name? string what it is; default ledger
---@field height steelyard.number mm; its height
---@field mass? steelyard.number kg; its mass; default not compared

---One reading: a lift, and what pads showed. The end that stays down is enough.
---@class steelyard.options.lift_reading
---@field run? string|number readings taken with the same zeros; all readings name theirs, or none; default by the order of the lifts
---@field going? string up or down, where runs have no other name; default by the order of the lifts
---@field lift? steelyard.number|string|string[] mm; 0 when level; or the block, or the blocks, it stands on; needed unless by angle
---@field angle? steelyard.number deg; 0 when level; needed by angle
---@field lifted? "rear"|"front"|"left"|"right" the end that is up; default as for all
---@field front? steelyard.number kg; both front pads; default not read
---@field rear? steelyard.number kg; both rear pads; default not read
---@field left? steelyard.number kg; both left pads, of a side lift; default not read
---@field right? steelyard.number kg; both right pads, of a side lift; default not read
---@field lf? steelyard.number kg; left front pad; default not read
---@field rf? steelyard.number kg; right front pad; default not read
---@field lr? steelyard.number kg; left rear pad; default not read
---@field rr? steelyard.number kg; right rear pad; default not read
---@field fl? steelyard.number kg; another name of lf; default not read
---@field fr? steelyard.number kg; another name of rf; default not read
---@field rl? steelyard.number kg; another name of lr; default not read
---@field note? string for whoever reads it; nothing is done with it; default none

---Standard uncertainties of a lift.
---@class steelyard.options.lift_sd
---@field pad? number kg; of each load as written; default not stated
---@field step? number kg; smallest step of the display; default not stated
---@field lift? number mm; of lifts, and of blocks without their own; a level reading has what it states; default not stated
---@field angle? number deg; of angles, likewise; default not stated
---@field radius? number mm; of radii without their own; default not stated
---@field wheelbase? number mm; of a wheelbase without its own; default not stated
---@field zero? number kg; drift of a pad's zero over the session; default none

---A liquid that moves as the car tilts: its centre at some tilts, or as a function.
---@class steelyard.options.lift_tank
---@field name? string of the tank; default none
---@field mass steelyard.number kg; of the liquid
---@field at? steelyard.options.place its centre, level; needed without centre
---@field tilted? steelyard.options.tilted_place[] its centre at some tilts, straight between them; default none
---@field centre? fun(degrees: number): number, number back and height in mm for degrees nose up; default by at and tilted

---What may touch the ground.
---@class steelyard.options.low_point
---@field name? string what it is; default by its number
---@field back? steelyard.number mm; behind the front axle; or forward
---@field forward? steelyard.number mm; ahead of it; or back
---@field height steelyard.number mm; above the ground, level

---A point beside the car.
---@class steelyard.options.place
---@field back? steelyard.number mm; behind the front axle; or forward
---@field forward? steelyard.number mm; ahead of it; or back
---@field height steelyard.number mm; above the ground, level

---What sy.plan_lift takes.
---@class steelyard.options.plan_lift
---@field title? string for the heading; default none
---@field state? string load state, for the heading; default none
---@field within steelyard.number mm; how good the height is to be, 95 %
---@field pads steelyard.options.plan_pads how good the pads are
---@field lifted? "rear"|"front" the end that goes up; default rear
---@field wheelbase steelyard.number mm; between the wheel centres
---@field radii steelyard.options.radii loaded radii
---@field mass steelyard.number kg; of the car
---@field front_share? steelyard.number %; front by total; default 50
---@field height? steelyard.number mm; a guess of the CG's height; default the larger radius + 50
---@field steps? number readings on the way up, at most 10; default 4
---@field low_points? steelyard.options.low_point[] what may touch the ground; default none
---@field most? steelyard.number mm; the highest lift to think of; default up to 20 degrees
---@field sd? steelyard.options.plan_sd standard uncertainties; default 0
---@field lifts? steelyard.number[] mm; lifts to say the pads' readings for; default the plan's steps
---@field corners? steelyard.options.corner_loads wheel loads, level; default by axle alone

---How good the pads are: one of the two at least.
---@class steelyard.options.plan_pads
---@field sd? number kg; standard uncertainty of a load; default not stated
---@field step? number kg; smallest step of the display; default not stated

---Standard uncertainties of a plan.
---@class steelyard.options.plan_sd
---@field lift? number mm; of a lift; default 0
---@field radius? number mm; of a radius; default 0
---@field wheelbase? number mm; of the wheelbase; default 0
---@field zero? number kg; drift of a pad's zero over the session; default 0

---Loaded radii: wheel centre to ground, the car standing on it.
---@class steelyard.options.radii
---@field front steelyard.number mm; first axle
---@field rear steelyard.number mm; last axle

---Ride height, from how it stood, up positive.
---@class steelyard.options.ride
---@field front steelyard.number mm; first axle
---@field rear steelyard.number mm; last axle

---The wheelbase of each side.
---@class steelyard.options.sides
---@field left steelyard.number mm; left side
---@field right steelyard.number mm; right side

---The centre of a liquid at a tilt, measured along the car.
---@class steelyard.options.tilted_place
---@field nose_up? steelyard.number deg; tilt; or nose_down
---@field nose_down? steelyard.number deg; tilt; or nose_up
---@field back? steelyard.number mm; behind the front axle; or forward
---@field forward? steelyard.number mm; ahead of it; or back
---@field height steelyard.number mm; above the ground, level

---Tracks, or where both wheels stand.
---@class steelyard.options.tracks
---@field front steelyard.number|steelyard.options.half_tracks mm; first axle
---@field rear steelyard.number|steelyard.options.half_tracks mm; last axle

---Unsprung masses, by axle.
---@class steelyard.options.unsprung
---@field front steelyard.number kg; first axle
---@field rear steelyard.number kg; last axle

---Rates of one wheel.
---@class steelyard.options.wheel_rates
---@field front steelyard.number N/mm; first axle
---@field rear steelyard.number N/mm; last axle

---Somebody more in the car.
---@class steelyard.options.with_driver
---@field name? string who; default driver
---@field mass steelyard.number kg; of the person
---@field height steelyard.number mm; of the person's CG

---Somebody less in the car.
---@class steelyard.options.without_driver
---@field name? string who; default driver
---@field mass steelyard.number kg; of the person
---@field height steelyard.number mm; of the person's CG

---CG to each of two wires.
---@class steelyard.options.arms
---@field r1 steelyard.number mm; to the first
---@field r2 steelyard.number mm; to the second

---One of several swings.
---@class steelyard.options.hang
---@field axis steelyard.point direction of the axis it swung about, through the CG
---@field kind? "compound"|"bifilar"|"trifilar"|"torsion" compound: on a pivot; bifilar, trifilar: on two or three wires; torsion: on a wire or rod that twists; default as for all
---@field mass? steelyard.number kg; of the part; default as for all
---@field period? steelyard.number s; one full swing, there and back; or times
---@field times? steelyard.number[] s; timings of so many full swings each; or period
---@field swings? number full swings in one timing; needed with times
---@field arm? steelyard.number mm; pivot to CG; default as for all
---@field arms? steelyard.number[]|steelyard.options.arms mm; CG to each wire; default as for all
---@field radius? steelyard.number mm; CG to the wires; default as for all
---@field wire? steelyard.number mm; length of the hanging wires; default as for all
---@field rod? steelyard.options.rod a rod swung on the same wire, whose inertia is known; default as for all
---@field platform? steelyard.options.platform what the part lies on, swung without it; default as for all
---@field stiffness? steelyard.number N m/rad; of the torsion wire; default as for all
---@field g? steelyard.number m/s2; gravity there; default as for all
---@field swing? steelyard.number deg; to each side; corrects the period of wide swings; default as for all

---What sy.pendulum takes: one swing, or several about different axes.
---@class steelyard.options.pendulum
---@field title? string for the heading; default none
---@field state? string in what state it was measured; default as swung
---@field hangs? steelyard.options.hang[] several swings about different axes, for the tensor; default one swing
---@field mirror? boolean with hangs: the part is its own mirror image in y = 0; default false
---@field kind? "compound"|"bifilar"|"trifilar"|"torsion" compound: on a pivot; bifilar, trifilar: on two or three wires; torsion: on a wire or rod that twists; needed
---@field mass? steelyard.number kg; of the part; needed unless torsion
---@field period? steelyard.number s; one full swing, there and back; or times
---@field times? steelyard.number[] s; timings of so many full swings each; or period
---@field swings? number full swings in one timing; needed with times
---@field arm? steelyard.number mm; pivot to CG; needed for compound
---@field arms? steelyard.number[]|steelyard.options.arms mm; CG to each wire; needed for bifilar
---@field radius? steelyard.number mm; CG to the wires; needed for trifilar
---@field wire? steelyard.number mm; length of the hanging wires; needed on wires
---@field rod? steelyard.options.rod a rod swung on the same wire, whose inertia is known; default torsion: or stiffness
---@field platform? steelyard.options.platform what the part lies on, swung without it; default none
---@field stiffness? steelyard.number N m/rad; of the torsion wire; default torsion: or rod
---@field g? steelyard.number m/s2; gravity there; default standard gravity
---@field swing? steelyard.number deg; to each side; corrects the period of wide swings; default small

---What a part lies on, swung without it.
---@class steelyard.options.platform
---@field mass? steelyard.number kg; of the platform; needed on wires
---@field period? steelyard.number s; one full swing, there and back; or times
---@field times? steelyard.number[] s; timings of so many full swings each; or period
---@field swings? number full swings in one timing; needed with times

---A rod swung on the same wire.
---@class steelyard.options.rod
---@field mass steelyard.number kg; of the rod
---@field length steelyard.number mm; over all
---@field diameter steelyard.number mm; 0 for a thin one
---@field period? steelyard.number s; one full swing, there and back; or times
---@field times? steelyard.number[] s; timings of so many full swings each; or period
---@field swings? number full swings in one timing; needed with times
---@field on_platform? boolean it lay on the platform; default false

---A point of a crankshaft's centreline.
---@class steelyard.options.crank
---@field x? steelyard.number mm; in the part's axes; default not compared
---@field y? steelyard.number mm; the same; default not compared
---@field z? steelyard.number mm; the same; default not compared

---A part balanced on an edge.
---@class steelyard.options.edge
---@field known_mass? steelyard.number kg; a mass beside it; default alone
---@field at? steelyard.number mm; where that mass stood; needed with known_mass
---@field balance_at steelyard.number mm; coordinate of the edge
---@field along? "x"|"y"|"z" the axis these coordinates lie on; default x

---What sy.hang_cg takes.
---@class steelyard.options.hang_cg
---@field lines steelyard.options.plumb_line[] plumb lines through the points it hung from
---@field sd? number mm; standard uncertainty of each coordinate without its own; default 3
---@field title? string for the heading; default none
---@field state? string in what state it was measured; default as hung
---@field kind? "flat engine"|"inline engine"|"vee engine"|"engine"|"gearbox"|"part" what it is; a flat engine is compared with a rule of thumb; default not stated
---@field crank? steelyard.options.crank a point of its crankshaft's centreline: says where the CG lies from it; default not stated
---@field axes? steelyard.options.part_axes which way its axes point; default not stated

---An inertia about the CG, tensor sign.
---@class steelyard.options.inertia
---@field xx steelyard.number kg m2; moment
---@field yy steelyard.number kg m2; moment
---@field zz steelyard.number kg m2; moment
---@field xy? steelyard.number kg m2; product; default 0
---@field xz? steelyard.number kg m2; product; default 0
---@field yz? steelyard.number kg m2; product; default 0

---What sy.mesh takes.
---@class steelyard.options.mesh
---@field unit "mm"|"cm"|"m"|"inch"|"ft" that the file's numbers are in, which it does not say
---@field mass? steelyard.number kg; as weighed; default not known
---@field density? steelyard.number kg/L; in place of a mass; default not known
---@field turn_outward? boolean turns faces that look inward; default false

---Which way the axes of a part point.
---@class steelyard.options.part_axes
---@field x "forward"|"back"|"left"|"right"|"up"|"down" its x
---@field y "forward"|"back"|"left"|"right"|"up"|"down" its y
---@field z "forward"|"back"|"left"|"right"|"up"|"down" its z

---What sy.part_cg takes.
---@class steelyard.options.part_cg
---@field poses? steelyard.options.pose[] how it stood, each with what the scales showed; needed without edge
---@field supports? table<string, steelyard.point>|steelyard.point[] mm; places of the supports by name; needed with poses
---@field sd? steelyard.options.part_sd standard uncertainties; default not stated
---@field step? number kg; smallest step of the scales' display; default not stated
---@field edge? steelyard.options.edge|steelyard.options.edge[] balanced on an edge, once or more; default none
---@field axes? steelyard.options.part_axes which way its axes point; default forward, left, up
---@field title? string for the heading; default none
---@field state? string in what state it was measured; default weighed level, or level and tilted
---@field feet? "points"|"round" round feet roll as it tilts; default points
---@field kind? "flat engine"|"inline engine"|"vee engine"|"engine"|"gearbox"|"part" what it is; a flat engine is compared with a rule of thumb; default not stated
---@field crank? steelyard.options.crank a point of its crankshaft's centreline: says where the CG lies from it; default not stated

---Standard uncertainties of weighing a part.
---@class steelyard.options.part_sd
---@field reading? number kg; of a reading; default not stated
---@field place? number mm; of a coordinate; default not stated
---@field tilt? number deg; of an angle; default not stated

---A plumb line, in axes of the part.
---@class steelyard.options.plumb_line
---@field from steelyard.point mm; the hanging point
---@field to steelyard.point mm; a mark on the line below it
---@field name? string of the point; default its number

---How a part stood on its supports.
---@class steelyard.options.pose
---@field supports? table<string, steelyard.point>|steelyard.point[] mm; places of the supports by name; default as for all
---@field readings table<string, steelyard.number|false>|(steelyard.number|false)[] kg; what each support's scale showed, by name; false: it did not stand there
---@field tare? steelyard.number|table<string, steelyard.number>|steelyard.number[] kg; of all supports, or by name; default 0
---@field nose_up? steelyard.number deg; how far it was tilted; default 0
---@field nose_down? steelyard.number deg; how far it was tilted; default 0
---@field left_up? steelyard.number deg; how far it was tilted; default 0
---@field right_up? steelyard.number deg; how far it was tilted; default 0
---@field name? string for whoever reads it; default none

---The coordinates of a point that are known.
---@class steelyard.options.some_point
---@field x? steelyard.number mm; along x; default not known
---@field y? steelyard.number mm; along y; default not known
---@field z? steelyard.number mm; along z; default not known

---What sy.subtract takes.
---@class steelyard.options.subtract
---@field whole steelyard.options.weighed_body|steelyard.cg_height|steelyard.part_cg|steelyard.hung|steelyard.remainder|steelyard.corner_scales|steelyard.mesh the weighing with the part: its numbers, or a result that has them
---@field without steelyard.options.weighed_body|steelyard.cg_height|steelyard.part_cg|steelyard.hung|steelyard.remainder|steelyard.corner_scales|steelyard.mesh the weighing without it
---@field wheelbase? steelyard.number mm; between the axles; needed with loads
---@field tracks? steelyard.options.tracks mm; with wheel loads: gives the place sideways too; default not known
---@field title? string for the heading; default none
---@field state? string in what state it was measured; default the whole less without it

---A weighing: mass and CG, or loads of axles or wheels. Places from loads are back of the front axle and to the right.
---@class steelyard.options.weighed_body
---@field mass? steelyard.number kg; of all; needed without loads
---@field cg? steelyard.number[]|steelyard.options.some_point mm; its CG; default not known
---@field inertia? steelyard.number[]|steelyard.options.inertia kg m2; about its CG; default not known
---@field front? steelyard.number kg; first axle; default not read
---@field rear? steelyard.number kg; rear axle; default not read
---@field lf? steelyard.number kg; left front; default not read
---@field rf? steelyard.number kg; right front; default not read
---@field lr? steelyard.number kg; left rear; default not read
---@field rr? steelyard.number kg; right rear; default not read

---What sy.corner_scales takes.
---@class steelyard.options.corner_scales
---@field runs steelyard.options.scales_run[] readings that were taken together, each a run
---@field gain? steelyard.number|table<string|number, steelyard.number> what a scale shows for one kilogram, one for all or by pad; default 1
---@field sd? steelyard.number|steelyard.options.scales_sd kg; standard uncertainty of a reading, or more of them; default not stated
---@field step? number kg; smallest step of the display; default not stated
---@field plank? steelyard.options.plank readings were taken on one end of a plank; default none
---@field title? string for the heading; default none
---@field state? string in what state it was measured; default as weighed

---A plank on a pivot with a scale under its other end.
---@class steelyard.options.plank
---@field ratio steelyard.number kilograms under the wheel for one on the scale
---@field tare? steelyard.number kg; what the plank shows alone; default 0

---What car:reconcile takes.
---@class steelyard.options.reconcile
---@field corners? steelyard.by_wheel|steelyard.corner_scales kg; what the scales read of every wheel; or axles
---@field axles? steelyard.by_axle|steelyard.corner_scales kg; of every axle, where only axles were weighed; or corners
---@field sd? number kg; standard uncertainty of a reading without its own; default 0.5
---@field height? steelyard.number|steelyard.cg_height mm; height of the CG as measured; 5 mm standard without an sd; default not measured
---@field correct? boolean asks for the corrected car; default false

---Readings that were taken together: of wheels, of axles, or of the whole.
---@class steelyard.options.scales_run
---@field lf? steelyard.number kg; left front; default not read
---@field rf? steelyard.number kg; right front; default not read
---@field lr? steelyard.number kg; left rear; default not read
---@field rr? steelyard.number kg; right rear; default not read
---@field fl? steelyard.number kg; another name of lf; default not read
---@field fr? steelyard.number kg; another name of rf; default not read
---@field rl? steelyard.number kg; another name of lr; default not read
---@field f? steelyard.number kg; single front wheel; default not read
---@field r? steelyard.number kg; single rear wheel; default not read
---@field front? steelyard.number kg; first axle on one scale; default not read
---@field rear? steelyard.number kg; rear axle on one scale; default not read
---@field total? steelyard.number kg; all wheels on one scale; default not read
---@field pads? table<string, string|number> name of the pad under each wheel; default by place
---@field zero_before? steelyard.number|table<string|number, steelyard.number> kg; what empty pads showed before, one for all or by pad; default not read
---@field zero_after? steelyard.number|table<string|number, steelyard.number> kg; the same afterwards; default not read
---@field facing? "forward"|"back" which way the car faced; pads stay where they are; default forward
---@field others? "blocks"|"floor" what the other wheels stood on; default not stated
---@field sd? number kg; standard uncertainty of a reading of this run; default as for all
---@field step? number kg; smallest step of the display; default as for all
---@field name? string of the run; default its number

---Standard uncertainties of scales.
---@class steelyard.options.scales_sd
---@field reading? number kg; of a reading: its repeatability; default not stated
---@field offset? number kg; of what a pad reads too much all the time; default not stated

---A position of a boom.
---@class steelyard.options.boom_line
---@field reach steelyard.number mm; its reach
---@field kg steelyard.number kg; its rating

---What car:clearances takes.
---@class steelyard.options.clearances
---@field at? string|string[] "design", "as loaded", "bump", "front bump", "rear bump", "droop", "steer" or "rock", or a list of them; default design
---@field steer? steelyard.number deg; how far the front wheels steer, each way; default unknown
---@field rock? steelyard.options.rock what rocks on its mounts, and how far each way about its CG; default the powertrain 3 deg

---What car:dipstick takes.
---@class steelyard.options.dipstick
---@field step? steelyard.number mm; from row to row; default 20
---@field nose_up? steelyard.number deg; the car leans: its nose higher; default 0
---@field nose_down? steelyard.number deg; or lower; default 0
---@field left_up? steelyard.number deg; its left side higher; default 0
---@field right_up? steelyard.number deg; or its right side; default 0

---What car:handling takes: a limit, or the conditions of the lift.
---@class steelyard.options.handling
---@field limit? steelyard.number kg; what one person may lift; default 25
---@field what? steelyard.what a part, a group or a tag; default everything
---@field reach? steelyard.number mm; hands before the ankles; default 250
---@field height? steelyard.number mm; of the hands at the start; default 750
---@field travel? steelyard.number mm; how far up or down; default 250
---@field twist? steelyard.number deg; of the body; default 0
---@field frequency? steelyard.number multiplier for frequent lifts, 1 for single ones; default 1
---@field grip? steelyard.number multiplier for a poor grip, 1 for a good one; default 1

---How something is to hang, from how it stands: one of nose_up and nose_down, one of left_up and right_up.
---@class steelyard.options.hanging
---@field nose_up? number deg; its nose higher; default 0
---@field nose_down? number deg; or lower; default 0
---@field left_up? number deg; its left side higher; default 0
---@field right_up? number deg; or its right side; default 0

---What car:hoist takes.
---@class steelyard.options.hoist
---@field points (string|steelyard.point)[]|table<string, string|steelyard.point> mm; where up to four legs hold on: names of the file's points or {x, y, z}, in order or by names of your own
---@field legs? steelyard.number|steelyard.number[]|table<string, steelyard.number> mm; one length for all legs, or one each; default chosen
---@field hook? string|steelyard.point mm; a fixed place of the hook, in place of legs; default by the legs
---@field boom? (steelyard.number[]|steelyard.options.boom_line)[] ratings of the boom, the shortest reach first; default not rated
---@field reach? steelyard.number mm; of the boom, in use; default not stated
---@field hang? steelyard.options.hanging deg; how it is to hang; default as it stands
---@field tackle? steelyard.number kg; tackle on the boom besides; default 0

---What car:markout takes.
---@class steelyard.options.markout
---@field state? string load state; default the car's
---@field points? (string|steelyard.some_of_point)[]|table<string, string|steelyard.some_of_point> mm; what to chalk out: names of the file's points or {x, y, z}; default all marks
---@field what? steelyard.what a part, a group or a tag to chalk out; default all marks
---@field tapes? steelyard.some_of_point[]|steelyard.options.tapes mm; the two points on the floor that tapes start at; default left of the car
---@field tape_sd? steelyard.number mm; standard uncertainty of a length; default 2
---@field trolleys? (number|string|steelyard.some_of_point)[] mm; two places along the car, or three points and more; default none

---What car:overlaps takes.
---@class steelyard.options.overlaps
---@field gap? steelyard.number mm; bodies nearer to one another than that are listed too; default 0

---What rocks on its mounts, each way about its CG.
---@class steelyard.options.rock
---@field what? steelyard.what a part, a group or a tag; default powertrain
---@field left_up? steelyard.number deg; sideways; default 3
---@field right_up? steelyard.number deg; the same; default 3
---@field nose_up? steelyard.number deg; fore and aft, in place of sideways; default 0
---@field nose_down? steelyard.number deg; the same; default 0

---What car:shafts takes.
---@class steelyard.options.shafts
---@field travels? steelyard.options.travels mm; wheel travel in place of the file's, and travels to be listed as well; default the file's

---What car:stands takes.
---@class steelyard.options.stands
---@field at (string|steelyard.some_of_point)[]|table<string, string|steelyard.some_of_point> mm; three stands or more: {x, y}, {x, y, z}, names of points, keys of wheels that stay on the ground
---@field without? string|string[] what comes out, one after the other; default nothing
---@field nose? string|steelyard.point mm; where somebody may pull: the foremost of shapes, of the file's points and of tyres; default the foremost point
---@field tail? string|steelyard.point mm; the same at the rear; default the rearmost point

---What sy.survey takes.
---@class steelyard.options.survey
---@field drawn table<string, steelyard.some_of_point>|steelyard.markout mm; drawn places on the floor by name, or what car:markout gave
---@field measured table<string, steelyard.some_of_point|steelyard.options.taped> mm; measured places by the same names, or lengths of two tapes
---@field sd? steelyard.number mm; standard uncertainty of a reading without its own; default 2
---@field tapes? steelyard.some_of_point[]|steelyard.options.tapes mm; the two points on the floor that tapes start at; needed with lengths of tapes

---Lengths of two tapes to a point.
---@class steelyard.options.taped
---@field a steelyard.number mm; from tape point A
---@field b steelyard.number mm; from B
---@field z? steelyard.number mm; height; default not compared

---The two points on the floor that tapes start at.
---@class steelyard.options.tapes
---@field A steelyard.some_of_point mm; the first
---@field B steelyard.some_of_point mm; the second

---Wheel travel, both counted from the drawn height; in the list up positive.
---@class steelyard.options.travels
---@field droop? number mm; how far the wheel goes down; default the file's
---@field bump? number mm; how far it goes up; default the file's
---@field [integer] number mm; travels to be listed as well; default none

---What sy.study takes; settings of what is shown stand beside it or under settings.
---@class steelyard.options.study
---@field car? steelyard.car the car that is varied; default the first entry
---@field vary steelyard.vary[] what is varied; of a grid the last one changes fastest
---@field show string[] names of quantities, in order; those of corners, attitude, transfer and stability by their paths
---@field limits? table<string, number[]|table<string, number>> its unit; {from, to} or {min =, max =, near =} by quantity; default those of the file alone
---@field worst_over? string[] states of the file, or what is varied: all combinations, of which the worst counts; default nothing
---@field method? "grid"|"one at a time"|"latin"|"sobol"|"list" which values go together; default grid
---@field points? number|table<string|integer, number|string>[] how many points of a Latin hypercube or of Sobol, or the rows of a list; default as sy.vary says
---@field seed? number of a Latin hypercube; default 1
---@field uncertainty? boolean true gives the standard uncertainty of every answer too; default false
---@field reduce? boolean true keeps counts and extremes alone, however many variants; default false
---@field front? table<string, "least"|"most"> what is wished for: the variants that no other betters in all of it; default none
---@field change? fun(from: steelyard.car, row: table): steelyard.car makes a car of the one with the inputs applied and their values by name; default nothing
---@field settings? table<string, steelyard.number|string|boolean|table<string, steelyard.number>> what calls take beside the car, as below; default none
---@field to? string file that the study goes to, a table where it ends in .csv, else JSON; goes on where it was stopped; default nothing is written
---@field shard? number[]|string {k, n}: the k-th of n runs, for sy.merge; needs to; default all of it
---@field replace? boolean true writes over that file; default false
---@field quiet? boolean true shows no progress; default false
---@field threads? number how many work at once; no result depends on it; default as many as there are processors
---@field pads? steelyard.by_wheel mm; how much higher the pad under a wheel is; default as that call has it
---@field perches? steelyard.by_wheel turns; turns of a wheel's perch; + raises that corner; default as that call has it
---@field bars? "off"|"connected" anti-roll bars; default as that call has it
---@field preload? steelyard.by_axle mm; difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel; default as that call has it
---@field slope? steelyard.options.slope how the ground slopes; default as that call has it
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default as that call has it
---@field downforce? steelyard.by_axle kg; downforce over an axle, as load on its wheels; negative where air lifts; default as that call has it
---@field left_turn? steelyard.number g; steady sideways acceleration in a left turn; default as that call has it
---@field right_turn? steelyard.number g; the same in a right turn; one of the two; default as that call has it
---@field braking? steelyard.number g; steady deceleration; default as that call has it
---@field drive? steelyard.number g; steady acceleration; one of the two; default as that call has it
---@field brake_front_share? steelyard.number %; front share of the braking force; counts where a file states the angle of links; default as that call has it
---@field mu? steelyard.number grip, for traction and braking; default as that call has it
---@field required? steelyard.number deg; angle of the table at which all wheels must still stand; default as that call has it
---@field drive_front_share? steelyard.number %; front share of the drive of a car that splits it in a fixed ratio; default as that call has it
---@field [integer] steelyard.car the car, as the first entry

---How level pads are with one another.
---@class steelyard.options.level_pads
---@field sd number mm; standard uncertainty of the height of each, by itself

---What sy.spread takes.
---@class steelyard.options.spread
---@field car? steelyard.car the car that is asked; default the first entry
---@field draws number how often everything stated is drawn: 100000 know a standard deviation to 0.2 %; at most 2^34
---@field seed number a whole number; with the same one a line draws the same numbers, as long as its name stays, whatever else is in the file
---@field show string[] names of quantities, in order: of the balance, corners, attitude, stability, shafts, clearances, usable
---@field growth? boolean true draws the growth allowances too, of each line anything from nothing to all of it; default false
---@field below? table<string, number> its unit; by quantity that is shown: how often is it less?; default none
---@field above? table<string, number> its unit; how often is it more?; default none
---@field pads? steelyard.options.level_pads of corners and attitude: how level the pads are; default exactly level
---@field slope? steelyard.options.slope of corners and attitude: how the ground slopes; default level
---@field to? string JSON file that the result goes to; goes on where it was stopped; default nothing is written
---@field shard? number[]|string {k, n}: the k-th of n runs, for sy.merge; needs to; default all of it
---@field replace? boolean true writes over that file; default false
---@field quiet? boolean true shows no progress; default false
---@field threads? number how many work at once; no result depends on it; default as many as there are processors
---@field [integer] steelyard.car the car, as the first entry

---What sy.seek takes; settings of what is asked for stand beside it or under settings.
---@class steelyard.options.seek
---@field car? steelyard.car the car that is changed; default the first entry
---@field vary steelyard.vary[] what may be changed: from and to are bounds; with a number of values, or a list of them, only these may be
---@field target? table<string, number|number[]> its unit; by quantity the value to reach, or {value, within}; within is half a unit of the last place printed unless given, or half of what one step changes; needed unless least or most is given
---@field least? string a quantity to make as small as can be; default none
---@field most? string a quantity to make as great as can be; default none
---@field limits? table<string, number[]|table<string, number>> its unit; {from, to} or {min =, max =, near =} by quantity; default those of the file alone
---@field worst_over? string[] states of the file, or what is varied: all combinations, of which the worst counts; default nothing
---@field starts? number from how many places it is sought: the car as it is, and others spread over the bounds; default 8
---@field seed? number of these others, a Latin hypercube; default 1
---@field settings? table<string, steelyard.number|string|boolean|table<string, steelyard.number>> what calls take beside the car, as below; default none
---@field pads? steelyard.by_wheel mm; how much higher the pad under a wheel is; default as that call has it
---@field perches? steelyard.by_wheel turns; turns of a wheel's perch; + raises that corner; default as that call has it
---@field bars? "off"|"connected" anti-roll bars; default as that call has it
---@field preload? steelyard.by_axle mm; difference of travel, left to right, that an axle's bar is connected at; + loads the left wheel; default as that call has it
---@field slope? steelyard.options.slope how the ground slopes; default as that call has it
---@field reset? boolean true counts the car's edits as drawn: springs set for them; default as that call has it
---@field downforce? steelyard.by_axle kg; downforce over an axle, as load on its wheels; negative where air lifts; default as that call has it
---@field left_turn? steelyard.number g; steady sideways acceleration in a left turn; default as that call has it
---@field right_turn? steelyard.number g; the same in a right turn; one of the two; default as that call has it
---@field braking? steelyard.number g; steady deceleration; default as that call has it
---@field drive? steelyard.number g; steady acceleration; one of the two; default as that call has it
---@field brake_front_share? steelyard.number %; front share of the braking force; counts where a file states the angle of links; default as that call has it
---@field mu? steelyard.number grip, for traction and braking; default as that call has it
---@field required? steelyard.number deg; angle of the table at which all wheels must still stand; default as that call has it
---@field drive_front_share? steelyard.number %; front share of the drive of a car that splits it in a fixed ratio; default as that call has it
---@field [integer] steelyard.car the car, as the first entry

---What car:draw takes.
---@class steelyard.options.drawing
---@field view? string "side", "plan", "front" or "beam"; default side
---@field state? string load state, of the earlier car too; default the car's
---@field before? steelyard.car an earlier car: what has moved since is drawn in long-dash double-dot where it was; default none
---@field width? number mm; of the picture on paper, 90 to 420: 90 is laid out for a telephone; as text, 144 is 80 columns and 216 is 120; default 180

---What the picture of a result takes.
---@class steelyard.options.picture
---@field kind? string which of the result's pictures; default the usual one
---@field width? number mm; of the picture on paper, 90 to 420: 90 is laid out for a telephone; as text, 144 is 80 columns and 216 is 120; default 180
---@field replace? boolean a file that is there already is replaced; default false

---What car:scene takes.
---@class steelyard.options.scene
---@field state? string load state; default the car's
---@field pose? string "design", "as loaded", "bump", "front bump", "rear bump", "droop" or "lift": how body and wheels stand; default design
---@field lifted? string in the pose "lift" the end that is up: rear, front, left or right; default rear
---@field lift? number mm; how far its wheels are up; default none
---@field angle? number deg; or how far the car is tilted; default none

---What sy.sensitivity takes.
---@class steelyard.options.sensitivity
---@field car? steelyard.car the car that is asked; as built too; default the first entry
---@field show string[] names of quantities, in order: of the balance, corners, attitude, stability, shafts, clearances, usable
---@field vary? steelyard.vary[] inputs as sy.vary gives them, numbers from one to another: the rows are of these; what to weigh next is always of the stated errors; default every stated error
---@field scale? number kg; standard uncertainty of a mass once it is weighed, of one piece; default 0.1
---@field tape? number mm; of each coordinate of a place once it is measured; default 2
---@field steps? number how many lines to list that are weighed or measured next; default all that help
---@field top? number how many rows of each quantity; the others are rest_share; default 12
---@field [integer] steelyard.car the car, as the first entry

---What car:ballast takes: a target, a minimum mass, or both.
---@class steelyard.options.ballast
---@field target? table<string, steelyard.number|steelyard.number[]> its unit; what is to be reached, by quantity: {front_share = 43}, or {front_share = {43, 0.1}} within 0.1; of the balance, corners, attitude and stability; default none
---@field slots steelyard.options.ballast_slot[] where ballast may go, at most 8
---@field minimum? steelyard.number kg; the least the car may weigh: at the finish, where one is given; default none
---@field finish? table<string, number|string> litre; what is in the tanks at the end, as car:fill takes it; default as it is loaded
---@field limits? table<string, number[]|table<string, number>> its unit; {from, to} or {min =, max =} by quantity; limits hold as the car is loaded and at the finish, those of states in their states; default those of the file alone
---@field quiet? boolean true shows no progress; default false

---Where ballast may go, and how much.
---@class steelyard.options.ballast_slot
---@field name? string the same by its own word: what the part is called in the car that comes back; default the first entry
---@field at steelyard.point mm; where its centre lies, in the file's axes
---@field max steelyard.number kg; the most it holds
---@field min? steelyard.number kg; the least it is to hold; default 0
---@field step? steelyard.number kg; mass of one piece: the slot holds a whole number of them; default to the gram
---@field into? string a group it lies in; `at` then counts from there; default the body
---@field [integer] string its name, first in the braces; default name

---What car:stint takes.
---@class steelyard.options.stint
---@field fuel? table<string, number>|number[] litre; {from =, to =} or {from, to}, either may be left out: in the tank at the start and at the end; default what is in the tank, down to what cannot be drawn
---@field tank? string the tank that is burnt from; all others stay as they are; default the one called fuel, else the only one aboard
---@field step? number litre; from one row to the next; default 5
---@field drivers? steelyard.options.stint_driver[] who drives, in turn, without gaps; default who sits in it
---@field show? string[] quantities of the balance, corners, attitude, stability and so on; the first is the one whose mean is set up; default front share, left share, height and mass
---@field mean? boolean the page leaves the rows out and has the means alone; default false

---Who drives, and on which litres.
---@class steelyard.options.stint_driver
---@field name? string the same by its own word: a person of the file, aboard or among its spares; default the first entry
---@field from? number litre; in the tank as this one begins; default where the one before ends
---@field to? number litre; in the tank as this one ends; default where the next begins, or the end
---@field [integer] string the name, first in the braces; default name

---What sy.report takes.
---@class steelyard.options.report
---@field [integer] steelyard.car cars in order; of several the later ones are set against the first
---@field car? steelyard.car the car, where it is one; default the first entry
---@field studies? (steelyard.study|steelyard.options.study)[] studies that are done, or tables with what sy.study takes, of the first car unless they name one; default none
---@field fits? (steelyard.cg_height|steelyard.corner_scales|steelyard.part_cg|steelyard.pendulum|steelyard.reconciled|steelyard.recorded|steelyard.remainder|steelyard.closure|steelyard.survey)[] results of measurements, as sy.cg_height or car:reconcile give them: each with its picture and as printed; default none
---@field title? string of the page; default the heading of the first car

---@class steelyard.car
local car = {}

---The car in another load state, which replaces the one before.
---@param name? string a load state of the file; none leaves all states
---@return steelyard.car
---@nodiscard
function car:state(name) end

---The names of the load states, in file order.
---@return string[]
---@nodiscard
function car:states() end

---Something moved and turned: turned first, then shifted.
---@param what steelyard.what a name, "group/part", a tag, "rear axle", or a list of them
---@param words steelyard.move where to, in the vehicle's own directions
---@return steelyard.car
---@nodiscard
function car:move(what, words) end

---Other values for a part or an axle.
---@param what steelyard.what a name, "group/part", a tag, "rear axle", or a list of them
---@param changes steelyard.set some of the fields as in the file; a plain mass keeps its old standard uncertainty
---@return steelyard.car
---@nodiscard
function car:set(what, changes) end

---One more part, group, tank or person.
---@param item steelyard.item as in sy.part "ballast" {...}
---@param into? string a group; the top of the list unless given
---@return steelyard.car
---@nodiscard
function car:add(item, into) end

---Things taken out, under all states.
---@param what steelyard.what a name, "group/part", a tag, "rear axle", or a list of them
---@return steelyard.car
---@nodiscard
function car:without(what) end

---One part in another's place, under all states.
---@param old string a part aboard
---@param new string the one that takes its place, often a spare
---@return steelyard.car
---@nodiscard
function car:swap(old, new) end

---Tanks filled, until the next car:state.
---@param fills table<string, number|string> {fuel = 20} litres or {fuel = "90 %"}
---@return steelyard.car
---@nodiscard
function car:fill(fills) end

---The car under a name of your own; cars made from it say what was changed.
---@param label string for headings
---@return steelyard.car
---@nodiscard
function car:named(label) end

---Mass, centre of gravity, axle and wheel loads, inertia.
---@return steelyard.balance
---@nodiscard
function car:balance() end

---The ledger line by line.
---@param what? steelyard.what a part, group or tag; the whole ledger unless given
---@return steelyard.book
---@nodiscard
function car:book(what) end

---A function of millimetres for loops: mass, CG (a table), yaw inertia, front, rear, then the wheels (lf rf lr rr).
---@param what steelyard.what a name, "group/part", a tag, "rear axle", or a list of them
---@param direction string forward back left right up or down
---@return steelyard.trial
---@nodiscard
function car:trial(what, direction) end

---The car on its springs: loads, heights, and what a perch turn or a pad changes.
---@param options? steelyard.options.corners What car:corners takes.
---@return steelyard.corners
---@nodiscard
function car:corners(options) end

---How far to turn each spring perch, rounded to what a spanner can hold, and what the scales then read.
---@param target steelyard.options.perches What car:perches takes: a cross weight or other shares, heights, a roll, or several of them.
---@return steelyard.perches
---@nodiscard
function car:perches(target) end

---What somebody's legs weigh, and what of it stands on the heels.
---@param what steelyard.what one person, given by hip in the file
---@return steelyard.person
---@nodiscard
function car:person(what) end

---Litres in a tank by the height of its liquid, level or leaning: what to mark on a stick.
---@param what steelyard.what one tank with a shape
---@param options? steelyard.options.dipstick What car:dipstick takes.
---@return steelyard.dipstick
---@nodiscard
function car:dipstick(what, options) end

---Inertia of the car or of something in it about its CG or any point, with principal moments and axes.
---@param options? steelyard.options.inertia_of What car:inertia takes.
---@return steelyard.body_inertia
---@nodiscard
function car:inertia(options) end

---What is in a tank, and how much of it can be drawn: standing, and as the liquid leans.
---@param what steelyard.what one tank
---@param force? steelyard.options.tank What car:tank takes: steady forces.
---@return steelyard.tank
---@nodiscard
function car:tank(what, force) end

---Where the body stands with what is aboard and under downforce, what is left under it, and how it bounces and pitches.
---@param options? steelyard.options.attitude What car:attitude takes.
---@return steelyard.attitude
---@nodiscard
function car:attitude(options) end

---What the wheels carry in steady cornering, braking, drive and under downforce, by path; the first wheel off the ground.
---@param force steelyard.options.transfer What car:transfer takes: a force, downforce, or both.
---@return steelyard.transfer
---@nodiscard
function car:transfer(force) end

---First wheel lift and tipping on a tilt table, rigid and on springs; tip lines in bends, grades, traction, brake split.
---@param options? steelyard.options.stability What car:stability takes.
---@return steelyard.stability
---@nodiscard
function car:stability(options) end

---The body set lower by its perches: what the springs carry moves, wheels stay.
---@param heights steelyard.options.ends how much lower the body is to stand
---@return steelyard.car
---@nodiscard
function car:lower(heights) end

---The body set higher.
---@param heights steelyard.options.ends how much higher
---@return steelyard.car
---@nodiscard
function car:raise(heights) end

---Heights set by car:lower and car:raise, and those reached with what is aboard.
---@return steelyard.heights
---@nodiscard
function car:heights() end

---The car as a vehicle file: the text of its own, edited only where the car differs. What comes out is read again and compared first.
---@param path string of the vehicle file to write
---@param options? steelyard.options.save What car:save takes.
---@return steelyard.saved
function car:save(path, options) end

---How good the guesses were: every weighed line beside what was booked for it before.
---@param earlier? steelyard.car|string|(steelyard.car|string)[] earlier cars, or the paths of their files, oldest first
---@return steelyard.guesses
---@nodiscard
function car:guesses(earlier) end

---The file's limits, each answered with pass, near, fail or unknown.
---@return steelyard.checks
---@nodiscard
function car:checks() end

---The ledger against what the scales say of the whole car: masses and places moved as far as their stated uncertainties let them.
---@param fields steelyard.options.reconcile What car:reconcile takes.
---@return steelyard.reconciled
---@nodiscard
function car:reconcile(fields) end

---What a record says, and that beside the ledger as it stood when it was made, whatever was done to the car since.
---@param name string of a record of the file
---@return steelyard.recorded
---@nodiscard
function car:record(name) end

---The car as its records leave it: whatever is asked of it, or of a car made from it, is asked after them. It has `fits`, `suspect`, `measured` and `left_out`.
---@param names? string|string[] of records; all of this file's own parts unless given
---@return steelyard.car
---@nodiscard
function car:as_built(names) end

---The records of the file: what each read, and how far it is off the ledger as it then stood.
---@return steelyard.records
---@nodiscard
function car:records() end

---The same for this car in its load state; cg is in file axes.
---@param fields steelyard.options.car_cg_height What car:cg_height takes: as sy.cg_height, but what is left out comes from the car.
---@return steelyard.cg_height
---@nodiscard
function car:cg_height(fields) end

---The plan for this car in its load state.
---@param fields steelyard.options.car_plan_lift What car:plan_lift takes: as sy.plan_lift, but what is left out comes from the car.
---@return steelyard.lift_plan
---@nodiscard
function car:plan_lift(fields) end

---Who lifts what by published guidance, never permission, and what to take off to come under the limit.
---@param options? steelyard.options.handling What car:handling takes: a limit, or the conditions of the lift.
---@return steelyard.handling
---@nodiscard
function car:handling(options) end

---How something hangs, what each leg carries, and where to hook it so that it hangs as it is to be fitted.
---@param what steelyard.what a name, "group/part", a tag, or a list of them
---@param options steelyard.options.hoist What car:hoist takes.
---@return steelyard.hoist
---@nodiscard
function car:hoist(what, options) end

---Floor coordinates, heights and two-tape distances to chalk out, and what trolleys carry.
---@param options? steelyard.options.markout What car:markout takes.
---@return steelyard.markout
---@nodiscard
function car:markout(options) end

---What each stand carries, and whether the car tips when something heavy comes out.
---@param options steelyard.options.stands What car:stands takes.
---@return steelyard.stands
---@nodiscard
function car:stands(options) end

---The gaps of the file between what must not touch: shapes as drawn and moved, wheel travel, steering, rocking; ways out; the ground.
---@param options? steelyard.options.clearances What car:clearances takes.
---@return steelyard.clearances
---@nodiscard
function car:clearances(options) end

---Every two bodies with shapes that intersect as the car stands, or come nearer to one another than a gap.
---@param options? steelyard.options.overlaps What car:overlaps takes.
---@return steelyard.overlaps
---@nodiscard
function car:overlaps(options) end

---Half-shafts and propeller shafts: joint angles in space, length and plunge, at ride height and over the travel.
---@param options? steelyard.options.shafts What car:shafts takes.
---@return steelyard.shafts
---@nodiscard
function car:shafts(options) end

---All that a drawing needs as plain data: bodies with their outlines in three views, wheels, CG with its ellipse, loads, points, gaps.
---@param options? steelyard.options.scene What car:scene takes.
---@return steelyard.scene
---@nodiscard
function car:scene(options) end

---The car to scale, with its masses, CG, loads and the beam strip; drawing:save(path) writes it, drawing:text() is for a terminal.
---@param options? steelyard.options.drawing What car:draw takes.
---@return steelyard.drawing
---@nodiscard
function car:draw(options) end

---The least mass in slots, in whole steps, that brings quantities where they are wanted; or why not, and the nearest.
---@param options steelyard.options.ballast What car:ballast takes: a target, a minimum mass, or both.
---@return steelyard.ballast
---@nodiscard
function car:ballast(options) end

---How quantities change as fuel burns and drivers change, their means over the litres burnt, and the car at the mean, to set up.
---@param options? steelyard.options.stint What car:stint takes.
---@return steelyard.stint
---@nodiscard
function car:stint(options) end

---@class steelyard
---@field N number 1
---@field cm number 10
---@field deg number 1
---@field ft number 304.8
---@field g number 0.001
---@field imperial_gallon number 4.54609
---@field inch number 25.4
---@field kN number 1000
---@field kg number 1
---@field lb number 0.45359237
---@field lbf number 4.4482216152605
---@field litre number 1
---@field m number 1000
---@field ml number 0.001
---@field mm number 1
---@field oz number 0.028349523125
---@field rad number 57.29577951308232
---@field us_gallon number 3.785411784
---@field part fun(name: string): fun(fields: steelyard.fields.part): steelyard.item a part, for sy.car and car:add
---@field group fun(name: string): fun(fields: steelyard.fields.group): steelyard.item parts that move together
---@field tank fun(name: string): fun(fields: steelyard.fields.tank): steelyard.item a tank and its fill
---@field person fun(name: string): fun(fields: steelyard.fields.person): steelyard.item somebody aboard
---@field state fun(name: string): fun(fields: steelyard.fields.state): steelyard.item a load state
---@field limit fun(name: string): fun(fields: steelyard.fields.limit): steelyard.item a limit on a quantity
---@field instrument fun(name: string): fun(fields: steelyard.fields.instrument): steelyard.item a scale or a set of pads
---@field record fun(name: string): fun(fields: steelyard.fields.record): steelyard.item what was measured of a car, and when
---@field vehicle fun(fields: steelyard.fields.vehicle): steelyard.item what a vehicle file begins with; sy.car takes the same fields
---@field from_csv fun(name: string): steelyard.item among parts: all the parts of a table from a spreadsheet
---@field unknown steelyard.unknown a mass that is not known
---@field box fun(sizes: table): steelyard.shape mm: length, width, height
---@field cylinder fun(sizes: table): steelyard.shape mm: diameter, length
---@field tube fun(sizes: table): steelyard.shape mm: diameter, wall, length
---@field sphere fun(sizes: table): steelyard.shape mm: diameter
---@field hollow_sphere fun(sizes: table): steelyard.shape mm: diameter, wall
---@field ellipsoid fun(sizes: table): steelyard.shape mm: length, width, height
---@field cone fun(sizes: table): steelyard.shape mm: diameter, length
---@field rod fun(sizes: table): steelyard.shape mm: length
---@field plate fun(sizes: table): steelyard.shape mm: length, width
local sy = {}

---A car from a vehicle file.
---@param path string of a vehicle file
---@return steelyard.car
---@nodiscard
function sy.load(path) end

---A car from a table.
---@param fields steelyard.fields.vehicle what a vehicle file says, as a table; parts by sy.part and the other words
---@return steelyard.car
---@nodiscard
function sy.car(fields) end

---A value with its standard uncertainty.
---@param value number the value
---@param uncertainty number one standard deviation, same unit
---@return steelyard.uncertainty
---@nodiscard
function sy.sd(value, uncertainty) end

---A value between limits, all equally likely: a standard uncertainty of limit / sqrt 3.
---@param value number the value
---@param limit number how far off it can be, same unit
---@return steelyard.uncertainty
---@nodiscard
function sy.within(value, limit) end

---The same answers side by side; what two cars share cancels in the uncertainty of a change.
---@param cars steelyard.options.comparison What sy.compare takes.
---@return steelyard.comparison
---@nodiscard
function sy.compare(cars) end

---What happened to which part, and each one's share of the change; the lines add up to it.
---@param old steelyard.car|string a car or the path of a file
---@param new steelyard.car|string the later one
---@param options? steelyard.options.changes What sy.changes takes.
---@return steelyard.changes
---@nodiscard
function sy.changes(old, new, options) end

---One car over its build: dated files as one history, what changed at each step, and what scales said in between.
---@param paths string|string[] a folder of vehicle files, a file, or a list of them
---@param options? steelyard.options.track What sy.track takes.
---@return steelyard.track
---@nodiscard
function sy.track(paths, options) end

---Do the parts of a weighed assembly come to the whole, and if not, which slip would explain it?
---@param fields steelyard.options.closure What sy.closure takes.
---@return steelyard.closure
---@nodiscard
function sy.closure(fields) end

---Aligned columns: numbers right, texts left.
---@param headings string[][] list of {label, format}; formats are such as %.2f %+.1f %d %g %s
---@param rows any[][] list of lists of cells; nil prints as -
---@return string
---@nodiscard
function sy.table(headings, rows) end

---Reads the command line; prints help or one line about a mistake, and then ends the process.
---@param spec steelyard.spec what the command line may say; see command/options.lua
---@return steelyard.options
function sy.options(spec) end

---Prints a result, as JSON with --json; "fail" ends the process with code 4.
---@param o steelyard.options what sy.options gave
---@param result any anything that prints
---@param status? string pass, near, fail or unknown; result.status unless given
function sy.out(o, result, status) end

---Moment of inertia of a part about its own CG from the time it takes to swing; several axes give the tensor.
---@param fields steelyard.options.pendulum What sy.pendulum takes: one swing, or several about different axes.
---@return steelyard.pendulum
---@nodiscard
function sy.pendulum(fields) end

---Wheel loads from readings of scales: pads swapped, the car turned, part by part, tickets, a plank.
---@param fields steelyard.options.corner_scales What sy.corner_scales takes.
---@return steelyard.corner_scales
---@nodiscard
function sy.corner_scales(fields) end

---Mass and CG of a part that stood on scales, level and tilted, or balanced on an edge.
---@param fields steelyard.options.part_cg What sy.part_cg takes.
---@return steelyard.part_cg
---@nodiscard
function sy.part_cg(fields) end

---The CG of a part hung from several points: the point nearest to its plumb lines.
---@param fields steelyard.options.hang_cg What sy.hang_cg takes.
---@return steelyard.hung
---@nodiscard
function sy.hang_cg(fields) end

---A part that cannot be weighed alone, from weighings with and without it. Places from loads are back of the front axle and to the right.
---@param fields steelyard.options.subtract What sy.subtract takes.
---@return steelyard.remainder
---@nodiscard
function sy.subtract(fields) end

---Volume, CG and inertia of a body drawn elsewhere. In a file and with one table, sy.mesh {path, unit = ...} is the shape of a part.
---@param path string of an STL (binary or text) or OBJ file with a closed surface
---@param options steelyard.options.mesh What sy.mesh takes.
---@return steelyard.mesh
---@nodiscard
function sy.mesh(path, options) end

---Height of the CG from loads read level and with an end lifted, what its uncertainty is made of and what spoils it. result:plan(mm) says what it would take to do better.
---@param fields steelyard.options.cg_height What sy.cg_height takes.
---@return steelyard.cg_height
---@nodiscard
function sy.cg_height(fields) end

---How high to lift, how often, what touches first, how high to block the pads and what each pad will read, before the lift.
---@param fields steelyard.options.plan_lift What sy.plan_lift takes.
---@return steelyard.lift_plan
---@nodiscard
function sy.plan_lift(fields) end

---Points measured on the floor against the drawing: the rigid fit, and the point that does not fit.
---@param request steelyard.options.survey What sy.survey takes.
---@return steelyard.survey
---@nodiscard
function sy.survey(request) end

---One input of a study. Directions count from where the car has it; of all else the values are what it then is.
---@param what steelyard.what a name, a tag or a list of names; "chassis" or "vehicle"; "state"; or a setting such as "left_turn"
---@param way? string|number|any[] a direction (mm), a turning word (deg), "fill" (litres), "swap" or a field; not of a state or a setting
---@param from? number|any[] the first value, or the list of all; names for states and swaps
---@param to? number the last value
---@param n? number how many, both ends among them; not needed for Latin hypercubes and Sobol points
---@return steelyard.vary
---@nodiscard
function sy.vary(what, way, from, to, n) end

---Many cars at once: what is varied goes with what it is varied with, every variant is asked and judged by the limits.
---@param study steelyard.options.study What sy.study takes; settings of what is shown stand beside it or under settings.
---@return steelyard.study
---@nodiscard
function sy.study(study) end

---The whole result of a study that was worked out in shards, as one run gives it.
---@param paths string[] files that a study has written, a shard each: all of them, in any order
---@return steelyard.study
---@nodiscard
function sy.merge(paths) end

---Everything that is stated with an uncertainty is drawn at random, again and again, and the car solved with it: how answers then spread, beside what the first order says.
---@param request steelyard.options.spread What sy.spread takes.
---@return steelyard.spread
---@nodiscard
function sy.spread(request) end

---Values of what is varied that reach targets, or make one answer least or most, within bounds and limits, the worst state counting; where that is impossible, the nearest and what is in the way.
---@param request steelyard.options.seek What sy.seek takes; settings of what is asked for stand beside it or under settings.
---@return steelyard.seek
---@nodiscard
function sy.seek(request) end

---How far each stated error, or each input that is varied, moves each answer, and its share of the answer's variance; and the line whose weighing or measuring would make the answers most certain, the next one after that, and what is left when all are done.
---@param request steelyard.options.sensitivity What sy.sensitivity takes.
---@return steelyard.sensitivity
---@nodiscard
function sy.sensitivity(request) end

---One page for a browser with all that is known of a car: no network, no installation. report:save(path) writes it.
---@param report steelyard.options.report What sy.report takes.
---@return steelyard.report
---@nodiscard
function sy.report(report) end

return sy
