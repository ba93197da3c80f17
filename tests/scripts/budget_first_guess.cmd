steelyard budget vehicles/first_guess.lua --target 780 --practice s120 --category "loom and ECU=wiring_instrumentation,body=composites,tub and hoop=composites" --growth estimate=L --top 3
