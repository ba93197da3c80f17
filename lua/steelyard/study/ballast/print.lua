return {page = function(r) return require("steelyard.print.page").of(r, {r.heading}) end}
