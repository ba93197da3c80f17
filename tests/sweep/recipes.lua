--- What the arguments of public functions are when neither their type (fixtures.h) nor their name says it.
-- generate.lua reads it and stops when a function has an argument without a value.
--
-- functions[name][argument]:
--   "text"            a C expression; of a number it is what it is before it is made wrong, of a pointer what is passed.
--                     $x stands for argument x
--   {"1, 2", n = 2}   the start of an array;  {n = 4}: an array of structures from fixtures.h, the i-th by make_TYPE(.., i)
--   {out = 4}         an array of results;  inout = true: filled, changed;  scratch = true: a failure may leave it spoilt;
--                     nan, infinite = true: its header comment allows them;  fixed = true: made by the library, not made wrong
-- functions[name].counts: ints that count the caller's arrays (a size_t does unless `free` names it)
-- functions[name].null:   pointers that may be NULL
-- functions[name].fixed:  numbers that are promises of the caller
-- functions[name].calls:  at most so many calls, for what takes long

local R = {}

--- Structures that only the library makes: passed as they are.
R.made = {"sy_axes", "sy_csv_cell", "sy_csv_marks", "sy_loadmap", "sy_balance", "sy_corner_model", "sy_transfer_model", "sy_lsq",
  "sy_qr", "sy_repeat", "sy_support", "sy_corner_result", "sy_rollup_level", "sy_stand",
  "sy_answer_set", "sy_answer_row", "sy_steady", "sy_ending", "sy_pushed", "sy_rigid",
  "sy_rigid_turn", "sy_rigid_push", "sy_compliant", "sy_found", "sy_shaft_found",
  "sy_gap_found", "sy_summary"}

--- Pointers in structures: how many there are behind each.
R.reach = {
  ["sy_cgheight_session.reading"] = 9,
  ["sy_reconcile.line"] = 4,
  ["sy_reconcile.instrument"] = 2,
  ["sy_path.points"] = 3,
  ["sy_shaft.error"] = 2,
  ["sy_settle_tanks.tank"] = 2,
  ["sy_settle_car.now"] = 1,
  ["sy_settle_car.downforce"] = 2,
  ["sy_part.fill"] = 1,
  ["sy_car.stated"] = 2,
  ["sy_question.asked"] = 3,
  ["sy_term.by"] = 2,
  ["sy_record.covariance"] = 16,
  ["sy_record.instrument"] = 1,
}

--- And those that are not followed: the library's own, or results without numbers of their own; numbers that are promises.
R.opaque = {"sy_reconcile.load_covariance", "sy_term.ledger", "sy_term.by_error", "sy_record.ledger", "sy_beside.at", "sy_car.beside",
  "sy_car.now", "sy_car.drawn", "sy_car.shaft", "sy_car.gap", "sy_car.usable",
  "sy_answer_set.row", "sy_question.set", "sy_csv_cell.text",
  "sy_tank.mesh", "sy_envelope.mesh", "sy_settle_car.corner", "sy_trial.map", "sy_item.part", "sy_part.whole", "sy_item.group",
  "sy_lsq.x", "sy_lsq.covariance", "sy_lsq.gain", "sy_lsq.residual", "sy_lsq.redundancy", "sy_lsq.standardised", "sy_lsq.residual_space",
  "sy_qr.a", "sy_qr.diagonal", "sy_qr.scale", "sy_qr.order", "sy_reconciled.line",
  "sy_rollup_level.body", "sy_rollup_level.place",
  "sy_rollup_level.child_end", "sy_variants_in.wheel_rate", "sy_variants_in.tyre_rate", "sy_variants_in.bar_rate",
  "sy_variants_in.torsion", "sy_variants_in.weight", "sy_variants_in.x", "sy_variants_in.y", "sy_variants_in.unsprung",
  "sy_variants_out.heave", "sy_variants_out.pitch", "sy_variants_out.roll", "sy_variants_out.twist", "sy_variants_out.wheel",
  "sy_totals.carriers", "sy_folded.lowest", "sy_folded.highest", "sy_folded.lowest_at", "sy_folded.highest_at",
  "sy_plan_factor.node", "sy_plan_output.row", "sy_elementary.part", "sy_stake.part",
  "sy_error_list.error", "sy_error_list.stake", "sy_error_list.figure", "sy_error_list.beside", "sy_spread_set.set", "sy_spread_set.car",
  "sy_spread_set.asked", "sy_spread_growth.fraction", "sy_spread_growth.fixed", "sy_spread_source.error", "sy_spread_source.stated",
  "sy_spread_source.own", "sy_pack.slot", "sy_pack.row", "sy_pack_car.car", "sy_pack_answer.set", "sy_pack_cars.car",
  "sy_pack_cars.answer", "sy_plan_into.column", "sy_plan_into.sd", "sy_plan_into.summary", "sy_plan_into.singly",
  "sy_seek_input.value", "sy_seek_problem.input", "sy_seek_problem.size", "sy_seek_problem.target", "sy_seek_problem.limit",
  "sy_seek_problem.user", "sy_seek_problem.ask", "sy_seek_problem.exact", "sy_seek_task.lower", "sy_seek_task.upper", "sy_seek_task.user"}

--- Fields that count what the caller has behind a pointer.
R.counts = {"sy_cgheight_session.count", "sy_reconcile.lines", "sy_reconcile.instruments", "sy_path.count", "sy_settle_tanks.count",
  "sy_rollup_level.count", "sy_ratio_curve.count", "sy_car.stated_count", "sy_question.count",
  "sy_car.shaft_count", "sy_car.gap_count", "sy_shaft.error_count",
  "sy_record.readings", "sy_record.instruments"}

--- What is passed for pointers to what only the library can look into.
R.handles = {
  ["const sy_ledger *"] = "a_ledger",
  ["const sy_mesh *"] = "a_mesh",
  ["const sy_csv *"] = "a_csv",
  ["const sy_alloc *"] = "NULL",
  ["const sy_answer_set *"] = "sy_corner_answers()",
  ["const sy_pairing *"] = "NULL",
  ["const sy_measured *"] = "a_measured",
  ["const sy_overlaps *"] = "an_overlap",
  ["const sy_outline *"] = "an_outline",
  ["const sy_answer_row *"] = "&sy_corner_answers()->row[0]",
}
--- New things that come back, and what ends them.
R.owned = {["sy_ledger**"] = "sy_ledger_release", ["sy_mesh**"] = "sy_mesh_free", ["sy_csv**"] = "sy_csv_free",
  ["sy_pairing**"] = "sy_pairing_free", ["sy_measured**"] = "sy_measured_release", ["sy_overlaps**"] = "sy_overlaps_free",
  ["sy_outline**"] = "sy_outline_free"}

--- Fields of results that repeat what was given.
R.copies = {"sy_car.vehicle", "sy_car.setting", "sy_corner_model.vehicle", "sy_corner_model.drawn_load", "sy_stand.setting", "sy_stand.now",
  "sy_transfer_model.totals"}

local F = {}
R.functions = F

--- Those that take nothing that could be wrong, or only what sy_fail and tests of their own cover.
for _, name in ipairs {"sy_fail", "sy_alloc_new", "sy_alloc_free", "sy_alloc_or_default", "sy_csv_free", "sy_mesh_free", "sy_decoded_free",
  "sy_ledger_builder_new", "sy_ledger_builder_free", "sy_ledger_share", "sy_ledger_release", "sy_pairing_free", "sy_measured_release",
  "sy_overlaps_free", "sy_outline_free",
} do F[name] = {skip = true} end

-- base
F.sy_axes_make = {axis = {"SY_BACK, SY_RIGHT, SY_UP", n = 3}}
F.sy_csv_read = {bytes = "TABLE", size = "sizeof TABLE - 1"}
F.sy_csv_width = {row = "1", free = {"row"}}
F.sy_csv_line = {row = "1", free = {"row"}}
F.sy_csv_at = {row = "1", column = "2", free = {"row", "column"}}
F.sy_csv_letters = {column = "27", letters = {out = "SY_CSV_LETTERS"}, free = {"column"}}
F.sy_csv_number = {mark = "','"}
F.sy_csv_look_for_marks = {column = "1", first_row = "1", marks = {inout = true, fixed = true}, free = {"column", "first_row"}}
F.sy_csv_decide_mark = {mark = {out = 1}}
F.sy_encoding_decode = {bytes = "TABLE", size = "sizeof TABLE - 1"}
F.sy_frame_rotation = {roll = "0.1", pitch = "-0.2", yaw = "0.3"}
F.sy_mat3_is_rotation = {tol = "1e-12"}
F.sy_text_from_double = {x = "0.1", buffer = {out = "SY_TEXT_DOUBLE"}}
F.sy_text_fixed = {x = "0.1", decimals = "3", buffer = {out = "SY_TEXT_FIXED"}}
F.sy_text_to_double = {text = '"1.5e3"', length = "5"}
F.sy_text_nearest = {word = '"lenght"', list = '(const char *const[]){"width", "length"}', count = "2"}

F.sy_sha256_add = {digest = {"sy_sha256_begin()", n = 1, inout = true}, bytes = '"abc"', size = "3"}
F.sy_sha256_text = {digest = {"sy_sha256_begin()", n = 1}, text = {out = "SY_SHA256_TEXT"}}

-- mass
F.sy_same_coordinate = {axis = "1", fixed = {"axis"}, mirror = {n = 1}, null = {"mirror"}}
for name, count in pairs {variance = 2, covariance = 4} do
  F["sy_propagate_" .. name] = {terms = {"{a_ledger, 1, some_by, 0, NULL}, {a_ledger, -0.5, some_by, 0, NULL}", n = 2},
    term_count = "2", count = "2", fill = "for (int i = 0; i < 2; i++) make_sy_sensitivity(&some_by[i], i);",
    [name] = {out = count, nan = true, infinite = true}}
end
F.sy_pairing_new = {from = "a_ledger", to = "other_ledger", count = "1", same_instrument = {"1, 0, 0", n = "SY_MAX_INSTRUMENTS"},
  lines = {"{{.depth = 1, .child = {0}}, {.depth = 1, .child = {0}}, {0, 0, 0}}", n = 1}, null = {"same_instrument"}}
F.sy_pairing_shift = {from = "a_ledger", to = "other_ledger", depth = {"0, 0", n = 2},
  line = {"{{.depth = 1, .child = {0}}, {.depth = 1, .child = {0}}, {0, 0, 0}}", n = 1}}
F.sy_measured_new = {relative = "a_ledger", records = {n = 1}, count = "1", pairings = "NULL", pairing_count = "0",
  null = {"pairings"}, calls = 600}
F.sy_measured_reads = {number = "7"}
F.sy_measured_error = {number = "7"}
F.sy_measured_beside = {measured = "a_measured", record = "0", by = {"1, -1, -1, 1", n = 4}, free = {"record"}}
F.sy_measured_beside_covariance = {ledger = "a_corrected"}
F.sy_measured_record_of = {record = "0", free = {"record"}}
F.sy_measured_ledger = {record = "0", free = {"record"}}
F.sy_measured_correct = {}
F.sy_record_loads = {load_covariance = {"0.25, 0, 0, 0, 0, 0.25, 0, 0, 0, 0, 0.25, 0, 0, 0, 0, 0.25", n = 16},
  room = {n = "SY_RECORD_READINGS * SY_RECORD_READINGS", scratch = true}, calls = 800}
F.sy_record_body = {mass_and_cg = {"61, -1.2, 0.1, 0.3", n = 4}, covariance = {"1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1", n = 16},
  room = {n = "SY_RECORD_READINGS * SY_RECORD_READINGS", scratch = true}}
F.sy_record_cross_share = {load = {"150, 148, 210, 212", n = 4}, by = {out = 4}}
F.sy_beside_make = {read = "0.5", out = {out = 1, copy = true}, null = {"rests"}, calls = 60}
F.sy_pairing_by_path = {from = "a_ledger", to = "other_ledger"}
F.sy_ledger_builder_instruments = {builder = "fresh_builder()", instruments = {n = 2}, count = "2"}
F.sy_ledger_add_part = {builder = "new_builder(NULL)", name = '"pump"', tags = '"wet"'}
F.sy_ledger_open_group = {builder = "new_builder(NULL)", name = '"group"', tags = "NULL"}
F.sy_ledger_close_group = {builder = "open_builder()"}
F.sy_ledger_finish = {builder = "filled_builder(NULL)"}
F.sy_ledger_put_group = {fill = "$route.child[0] = 4;"}
F.sy_ledger_set_tags = {tags = '"cold"'}
F.sy_ledger_append = {items = "filled_builder(a_ledger)", fill = "$route.child[0] = 4;"}
for _, name in ipairs {"put", "put_group", "shift", "turn", "set_aboard", "set_tags", "append", "item_totals", "item"} do
  local f = F["sy_ledger_" .. name] or {}
  F["sy_ledger_" .. name] = f
  if f.fill then f.fill = f.fill:gsub("%$route", "$of_route[0]") end
end
F.sy_ledger_instruments = {out = {out = "SY_MAX_INSTRUMENTS"}}
F.sy_part_turn_fill = {part = {inout = true}}
F.sy_ledger_visit = {visit = "NULL", user = "NULL", skip = true}
F.sy_ledger_find = {name = '"part"', routes = {out = 4}, room = "4"}
F.sy_ledger_find_tag = {tag = '"heavy"', routes = {out = 4}, room = "4"}
F.sy_massprops_combine = {parts = {n = 3}, count = "3"}
F.sy_massprops_remove = {fill = "make_sy_massprops($of_part, 1); $of_part[0].cg = $of_whole[0].cg;"}
F.sy_massprops_mirror = {plane_y = "0.1"}
F.sy_massprops_check = {rel_tol = "1e-9", name = '"body"'}
F.sy_ledger_count_whole = {pieces = "weighed_pieces", ledger = "weighed_line",
  fill = "$of_line[0] = (sy_route){.depth = 2, .child = {0, 2}};"}
F.sy_tank_to_height = {height = "0.05"}
F.sy_solid_usual = {mass = "3.1"}
F.sy_mesh_read = {bytes = "TETRAHEDRON", size = "sizeof TETRAHEDRON - 1"}
F.sy_mesh_make = {corners = {"0, 0, 0, 0.4, 0, 0, 0, 0.3, 0, 0, 0, 0.5", n = 12}, corner_count = "4",
  triangles = {"0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3", n = 12}, triangle_count = "4"}
F.sy_mesh_triangle = {i = "3", fixed = {"i"}, corner = {out = 3}}
F.sy_mesh_vertex = {i = "3", fixed = {"i"}}
F.sy_mesh_turn_outward = {mesh = "new_mesh()"}
F.sy_mesh_scale = {mesh = "new_mesh()", factor = "1e-3"}
F.sy_mesh_massprops = {mass = "7.1"}
F.sy_mesh_body_of_stl = {bytes = "stl", size = "sizeof stl"}
F.sy_rollup_work = {levels = {n = 2}, level_count = "2"}
F.sy_rollup = {levels = {n = 2}, level_count = "2", work = "memory_of(sizeof(double) * sy_rollup_work($levels, $level_count))"}
F.sy_solid_box = {mass = "7.1", length = "0.5", width = "0.3", height = "0.2"}
F.sy_solid_cylinder = {mass = "7.1", diameter = "0.3", length = "0.5"}
F.sy_solid_hollow_cylinder = {mass = "7.1", outer_diameter = "0.3", inner_diameter = "0.2", length = "0.5"}
F.sy_solid_tube = {mass = "7.1", outer_diameter = "0.3", wall = "0.02", length = "0.5"}
F.sy_solid_sphere = {mass = "7.1", diameter = "0.3"}
F.sy_solid_hollow_sphere = {mass = "7.1", outer_diameter = "0.3", inner_diameter = "0.2"}
F.sy_solid_ellipsoid = {mass = "7.1", length = "0.5", width = "0.3", height = "0.2"}
F.sy_solid_cone = {mass = "7.1", diameter = "0.3", height = "0.2"}
F.sy_solid_rod = {mass = "7.1", length = "0.5"}
F.sy_solid_plate = {mass = "7.1", length = "0.5", width = "0.3"}
F.sy_sums_scale = {factor = "0.3"}
F.sy_tank_capacity = {out = {out = 1}}
F.sy_tank_liquid = {volume = "0.013", up = "((sy_vec3){0.1, -0.2, 1})"}
F.sy_tank_shell = {mass = "7.1"}

-- measure
F.sy_cgheight_fit = {memory = "memory_of(sy_cgheight_size($session))", rows = {out = 9}, levels = {out = 2}, calls = 1500}
F.sy_cgheight_lateral = {load = {"151, 148, 213, 219, 152, 149, 210, 221", n = 8}, sd = {"0.1, 0.2", n = 2}, count = "2",
  place = {"0.71, -0.72, 0.73, -0.74", n = 4}}
F.sy_hang_cg = {lines = {n = 3}, count = "3"}
F.sy_lift_tilt = {lift = "0.3", null = {"loads", "rate"}}
F.sy_lift_of_tilt = {tilt = "-0.12"}
F.sy_lift_point = {x = "-1", z = "0.3", tilt = "-0.12"}
F.sy_lift_liquid = {mass = "20", level = {"-1.2, 0.3", n = 2}, tilted = {"-1.1, 0.31", n = 2}, tilt = "-0.12"}
F.sy_lift_front_load = {tilt = "-0.12"}
F.sy_lift_height = {tilt = "-0.12", front = "300"}
F.sy_partcg_solve = {memory = "memory_of(sy_partcg_size($problem))", calls = 1500}
F.sy_pendulum_circular_factor = {swing = "0.2"}
F.sy_pendulum_wires_factor = {swing = "0.2", radius = "0.3", wire = "1.7", gyration = "0.2"}
F.sy_reconcile_size = {lines = "4", instruments = "2"}
F.sy_reconcile_solve = {memory = "memory_of(sy_reconcile_size($of_problem[0].lines, $of_problem[0].instruments))", calls = 1500}
F.sy_reconcile_lines = {lines = {out = 4}, room = "4"}
F.sy_subtract = {bodies = {n = 2}, count = "2"}
F.sy_tensor_fit = {swings = {n = 7}, count = "7", cov = {"1, 0, 0, 0, 0, 0, 0, 0, 1", n = 49}}
F.sy_weigh_solve = {memory = "memory_of(sy_weigh_size($problem))", calls = 1500}

-- numeric
F.sy_bootstrap_size = {count = "5", free = {"count"}}
F.sy_bootstrap_line_fit = {t = {"0, 1, 2, 3, 4", n = 5}, y = {"0.1, 0.9, 2.2, 2.8, 4.1", n = 5}, count = "5", seed = "7", first = "0",
  replicas = "6", memory = "memory_of(sy_bootstrap_size($count))", intercept = {out = 6}, slope = {out = 6}, null = {"out"}}
F.sy_bootstrap_quantile = {sorted = {"0, 1, 2, 3, 4", n = 5}, count = "5", p = "0.3", fixed = {"count"}}
F.sy_bootstrap_sort = {values = {"3, 1, 2", n = 3, inout = true}, count = "3"}
F.sy_qr_factor = {qr = {inout = true}}
F.sy_qr_least_squares = {b = {"1, 2, 3, 4", n = 4, inout = true}, x = {out = 2}, fill = "make_sy_qr($of_qr, 1);"}
F.sy_qr_least_squares_sides = {b = {"1, 2, 3, 4", n = 32, inout = true}, x = {out = 16}, fill = "make_sy_qr($of_qr, 1);"}
F.sy_qr_least_norm = {c = {"1, 2", n = 2}, y = {out = 4}, work = {out = 2}, fill = "make_sy_qr($of_qr, 1);"}
F.sy_qr_inverse_gram = {inverse = {out = 4}, work = {out = 4}, fill = "make_sy_qr($of_qr, 1);"}
F.sy_lsq_size = {rows = "4", cols = "2"}
F.sy_lsq_linear = {a = {"1, 0, 1, 1, 1, 2, 1, 3", n = 8}, y = {"0.9, 2.1, 2.8, 4.2", n = 4}, sd = {"0.1, 0.2, 0.1, 0.1", n = 4}, rows = "4",
  cols = "2", memory = "memory_of(sy_lsq_size($rows, $cols))"}
F.sy_lsq_fit = {model = "straight_line", user = "NULL", y = {"0.9, 2.1, 2.8, 4.2", n = 4}, sd = {"0.1, 0.2, 0.1, 0.1", n = 4},
  start = {"0, 0.5", n = 2}, rows = "4", cols = "2", fixed = {"rows", "cols"}, memory = "memory_of(sy_lsq_size($rows, $cols))"}
F.sy_lsq_estimate = {model = "straight_line", user = "NULL", y = {"0.9, 2.1, 2.8, 4.2", n = 4}, sd = {"0.1, 0.2, 0.1, 0.1", n = 4},
  start = {"0, 0.5", n = 2}, rows = "4", cols = "2", fixed = {"rows", "cols"}, memory = "memory_of(sy_lsq_size($rows, $cols))"}
F.sy_lsq_minimum = {model = "straight_line", user = "NULL", y = {"0.9, 2.1, 2.8, 4.2", n = 4}, sd = {"0.1, 0.2, 0.1, 0.1", n = 4},
  start = {"0, 0.5", n = 2}, rows = "4", cols = "2", fixed = {"rows", "cols"}, memory = "memory_of(sy_lsq_size($rows, $cols))"}
F.sy_lsq_studentised = {i = "1"}
F.sy_lsq_worst = {from = "0", to = "4"}
F.sy_lsq_correlation = {i = "1", k = "2"}
F.sy_lsq_critical = {tested = "6", alpha = "0.05", free = {"tested"}}
F.sy_repeat_next = {r = {inout = true, fixed = true}, n = "2", x = {"0.7, 0.3", n = 2, inout = true},
  next = {"0.5, 0.2", n = 2}, counts = {"n"}}
F.sy_repeat_back = {r = {inout = true, fixed = true}, n = "2", x = {"0.7, 0.3", n = 2, inout = true}, counts = {"n"}}
F.sy_rng_key = {seed = "7"}
F.sy_root_between = {f = "line_less_third", user = "NULL", low = "0", high = "1", tol = "0"}
F.sy_stats_normal_cdf = {x = "0.7"}
F.sy_stats_normal_quantile = {p = "0.7"}
F.sy_stats_student_cdf = {t = "0.7", dof = "4"}
F.sy_stats_student_quantile = {p = "0.7", dof = "4"}
F.sy_stats_chi2_cdf = {x = "3", dof = "4"}
F.sy_stats_chi2_tail = {x = "3", dof = "4"}
F.sy_stats_chi2_quantile = {p = "0.7", dof = "4"}
F.sy_stats_f_tail = {f = "1.3", dof1 = "4", dof2 = "5"}
F.sy_stats_welch_dof = {u = {"1, 2", n = 2}, dof = {"4, 5", n = 2}, count = "2"}
F.sy_uncertain_limits = {half_width = "2"}
F.sy_uncertain_check_correlation = {r = {"1, 0.3, 0.3, 1", n = 4}, n = "2", work = {out = 4, scratch = true}}
F.sy_uncertain_covariance = {sd = {"1, 2", n = 2}, r = {"1, 0.3, 0.3, 1", n = 4}, n = "2", cov = {out = 4, scratch = true}, null = {"r"}}
F.sy_uncertain_propagate = {jacobian = {"1, 2, 3, 4", n = 4}, cov = {"1, 0.3, 0.3, 1", n = 4}, outputs = "2", n = "2", out = {out = 4}}
F.sy_uncertain_linear = {c = {"1, 2", n = 2}, cov = {"1, 0.3, 0.3, 1", n = 4}, n = "2"}
F.sy_uncertain_ratio = {a = {"1, 2", n = 2}, b = {"2, 1", n = 2}, q = {"3, 4", n = 2}, cov = {"1, 0.3, 0.3, 1", n = 4}, n = "2"}
F.sy_uncertain_shares = {c = {"1, 2", n = 2}, cov = {"1, 0.3, 0.3, 1", n = 4}, n = "2", share = {out = 2}}
F.sy_uncertain_interval = {value = "3", u = "0.2", dof = "7", coverage = "0.95"}
F.sy_uncertain_half_width = {normal = "0.2", student = "0.1", dof = "7", coverage = "0.95"}

-- shop
F.sy_cardan_turn = {beta = "0.2", psi = "0.3"}
F.sy_cardan_speed = {beta = "0.2", psi = "0.3"}
F.sy_cardan_ripple = {beta = "0.2"}
F.sy_cardan_pair = {beta1 = "0.2", beta2 = "0.3", twist = "0.1"}
F.sy_clearance = {fill = "make_sy_envelope($of_b, 1);", calls = 1200}
F.sy_overlaps_find = {body = {n = 2}, count = "2", gap = "0.4", calls = 1200}
F.sy_overlaps_at = {i = "0", fixed = {"i"}}
F.sy_outline_make = {view = "SY_VIEW_SIDE", calls = 1200}
F.sy_outline_points = {i = "0", fixed = {"i"}}
F.sy_outline_point = {i = "0", k = "0", fixed = {"i", "k"}}
F.sy_view_point = {view = "SY_VIEW_SIDE", fixed = {"view"}}
F.sy_cg_ellipse = {view = "SY_VIEW_SIDE", probability = "0.95"}
F.sy_shaft_pose_make = {fill = "make_sy_joint($of_outer, 1);"}
F.sy_path_move = {travel = "0.03"}
F.sy_shaft_sweep = {droop = "0.05", bump = "0.06", steer = "0.1", fill = "make_sy_joint($of_outer, 1);", calls = 600}
F.sy_hang_make = {cg = "((sy_vec3){0.02, 0.01, 0.05})"}
F.sy_support_make = {at = {n = 4}, count = "4", counts = {"count"}}
F.sy_support_to_tip = {}
F.sy_survey_fit = {lines = {n = 4}, count = "4", memory = "memory_of(sy_lsq_size(2 * $count, SY_SURVEY_COLS))"}
F.sy_survey_place = {x = {"0.1, 0.2, 0.3", n = 3}}
F.sy_tapes_place = {a = "1.3", b = "1.7", near = "((sy_plan){-0.8, 0.2})"}
F.sy_tapes_uncertainty_at = {sd_a = "0.002", sd_b = "0.003"}

-- statics
F.sy_load_answer = {load = {"1, 2, 3, 4", n = "SY_MAX_WHEELS"}, answer = "SY_ANSWER_FRONT", fixed = {"answer"},
  by = {out = "SY_MAX_WHEELS"}}
F.sy_balance_sensitivity = {answer = "SY_ANSWER_YAW_INDEX"}
F.sy_balance_by_cross = {answer = "SY_ANSWER_LEFT"}
F.sy_balance_by_places = {answer = "SY_ANSWER_LEFT"}
F.sy_corner_load_of = {gravity = "LEVEL"}
F.sy_corner_make = {drawn = {"2350, 2190, 2100, 2090", n = "SY_MAX_WHEELS"},
  fill = "sy_loadmap_apply(&a_map, (const double[4]){some_totals.all.m, some_totals.all.first.x, some_totals.all.first.y, 0}, $of_drawn);"}
F.sy_corner_sensitivity = {null = {"at"}}
F.sy_corner_rates_at = {rate = {out = "SY_MAX_WHEELS"}}
F.sy_corner_ride_hz_at = {axle = "1", fixed = {"axle"}}
F.sy_corner_ride_rate = {wheel = "3", fixed = {"wheel"}}
F.sy_corner_ride_hz = {axle = "1", fixed = {"axle"}}
F.sy_loadmap_make = {gravity = "LEVEL"}
F.sy_loadmap_apply = {q = {"890, -1100, 3, 350", n = 4}, load = {out = "SY_MAX_WHEELS"}}
F.sy_perches_find = {calls = 600}
F.sy_corner_cross = {load = {"1, 2, 3, 4", n = 4}}
F.sy_rake_of = {point = {n = 2}, first = "0.1", last = "-2.4", anchor = "0.3"}
F.sy_ride_modes_of = {mass = "700", inertia = "800", cg_x = "-1.2", x = {"0, -2.4", n = 2}, rate = {"3e4, 4e4", n = 2}, count = "2"}
F.sy_ride_dynamic_index = {mass = "700", inertia = "800", cg_x = "-1.2", first_x = "0", last_x = "-2.4"}
F.sy_ride_wheel_hop = {wheel_rate = "3e4", tyre_rate = "2e5", mass = "30"}
F.sy_ride_deflection = {force = "3000", rate = "3e4"}
F.sy_settle_book = {tank = {inout = true}, up = "((sy_vec3){0, 0, 1})"}
F.sy_settle_liquid = {gravity = "LEVEL", pose = {"0.001, 0.002, 0.003, 0.004", n = 4}, null = {"pose"}}
F.sy_settle_moved = {gravity = "LEVEL", pose = {"0.001, 0.002, 0.003, 0.004", n = 4}, null = {"pose"}}
F.sy_settle_add = {totals = {inout = true}}
F.sy_settle_corner = {gravity = "LEVEL", calls = 600}
F.sy_settle_perches = {gravity = "LEVEL", calls = 200}
F.sy_settle_stand = {gravity = "((sy_vec3){0.5, 3, -9.8})", calls = 300}
F.sy_settle_transfer = {gravity = "((sy_vec3){0.5, 3, -9.8})", calls = 300}
F.sy_settle_limits = {calls = 24}
F.sy_stability_reach = {x = "-1.2", y = "0.1", dx = "0.3", dy = "1"}
F.sy_stability_ssf = {height = "0.4"}
F.sy_stability_side = {forward = "0.2", side = "1", edge = {out = 1}}
F.sy_stability_lift_off = {level = {"1, 2, 3, 4", n = "SY_MAX_WHEELS"}, height = "0.4", side = "1", wheel = {out = 1}, null = {"wheel"}}
F.sy_stability_between = {mass = "700", downforce = {"100, 150", n = "SY_MAX_AXLES"}}
F.sy_stability_pressed = {mass = "700", downforce = {"100, 150", n = "SY_MAX_AXLES"}}
F.sy_stability_traction = {mu = "0.9"}
F.sy_stability_split_traction = {mu = "0.9", front_share = "0.4"}
F.sy_stability_ideal_brake = {z = "0.6"}
F.sy_stability_braking = {mu = "0.9", front_share = "0.6"}
F.sy_transfer_make = {downforce = {"100, 150", n = "SY_MAX_AXLES"}, null = {"downforce"}}
F.sy_transfer_links_at = {gravity = "((sy_vec3){0.5, 3, -9.8})", out = {out = 1, nan = true}}
F.sy_transfer_solve = {gravity = "((sy_vec3){0.5, 3, -9.8})", calls = 800}
F.sy_transfer_solve_both = {gravity = "((sy_vec3){0.5, 3, -9.8})", calls = 800}
F.sy_transfer_solve_from = {gravity = "((sy_vec3){0.5, 3, -9.8})", roll = {"0.01", n = 10, inout = true}, calls = 800}
F.sy_transfer_hub_roll = {axle = "1", fixed = {"axle"}}
F.sy_transfer_gravity = {s = "0.4"}
F.sy_transfer_limits = {calls = 60}
F.sy_transfer_sideways = {gravity = "LEVEL", axle = "1", fixed = {"axle"}}
F.sy_transfer_limits_of = {stand = "stands", user = "NULL", wheel_count = "4", counts = {"wheel_count"}, calls = 60}
F.sy_trial_at = {distance = "0.05"}
F.sy_blocks_run = {skip = true} -- runs the caller's own function
F.sy_sobol = {input = "3", first = "5", count = "4", u = {out = 4}, free = {"input", "first"}}
F.sy_points_range = {from = "-40", to = "60", n = "4", values = {out = 4}}
F.sy_points_grid_shape = {n = {"3, 2", n = 2}, inputs = "2", each = {out = 2}, total = {out = 1}}
F.sy_points_grid = {values = {"1, 2, 3", n = 3, infinite = true, nan = true}, n = "3", each = "2", first = "1", count = "4",
  out = {out = 4, nan = true, infinite = true}, fixed = {"n", "each"}}
F.sy_points_one = {values = {"1, 2, 3", n = 3}, n = "3", base = "0.5", start = "2", first = "1", count = "4", out = {out = 4,
  nan = true, infinite = true}}
F.sy_points_latin = {seed = "7", stream = "3", n = "9", first = "2", count = "4", u = {out = 4}, free = {"n", "first"}}
F.sy_points_between = {from = "-40", to = "60", u = {"0.1, 0.5", n = 2}, count = "2", out = {out = 2, nan = true, infinite = true}}
F.sy_points_pick = {values = {"7, 5, 11", n = 3}, n = "3", u = {"0.1, 0.5", n = 2}, count = "2", out = {out = 2, nan = true,
  infinite = true}}
F.sy_limit_check = {limit = {"{41, 43, 0.1, 0.05}", n = 1, nan = true, infinite = true}, name = '"mass"'}
F.sy_judge = {skip = true} -- columns by pointers to pointers: test_judge.c
F.sy_verdict_count = {verdict = {"1, 2, 4", n = 3}, count = "3", of_each = {"0, 0, 0, 0", n = 4, inout = true}}
F.sy_fold = {skip = true} -- test_judge.c
F.sy_fold_verdict = {verdict = {"1, 2, 4, 3", n = 4}, folds = "2", count = "2", worst = {out = 2}}
F.sy_summary_add = {summary = {"sy_summary_begin()", n = 1, inout = true, nan = true, infinite = true}, x = {"1, 2, 3", n = 3},
  count = "3", first = "7"}
F.sy_summary_join = {summary = {"sy_summary_begin()", n = 1, inout = true, nan = true, infinite = true}, other = {"sy_summary_begin()",
  n = 1}}
F.sy_summary_mean = {summary = {"sy_summary_begin()", n = 1}}
F.sy_front = {skip = true} -- test_front.c
for _, name in ipairs{"solve", "units", "explain", "gain", "car_make", "car_at", "car_with", "cars_check", "cars_values"} do
  F["sy_pack_" .. name] = {skip = true} -- of slots, rows and a callback of the caller's: test_pack.c
end
F.sy_seek_run = {skip = true} -- its problem is functions of the caller's: test_seek.c
for _, name in ipairs{"sy_plan_make", "sy_plan_free", "sy_plan_try", "sy_plan_term", "sy_plan_clear", "sy_plan_miss", "sy_plan_has_sd",
  "sy_plan_use_level", "sy_plan_solve", "sy_plan_prepare", "sy_plan_run", "sy_plan_settle", "sy_plan_car_make",
  "sy_plan_car_copy", "sy_plan_car_numbers", "sy_plan_car_alike",
  "sy_plan_car_note",
  "sy_plan_car_follow"} do
  F[name] = {skip = true} -- of cars that point into themselves: test_plan.c
end
for _, name in ipairs{"make", "free", "growth", "effects", "sums", "totals", "solve", "place", "factor"} do
  F["sy_error_list_" .. name] = {skip = true} -- of ledgers: test_montecarlo.c, test_sensitivity.c
end
for _, name in ipairs{"new", "free", "inputs", "input", "sources", "source", "answers", "value", "sd", "largest"} do
  F["sy_sensitivities_" .. name] = {skip = true} -- of what sy_sensitivities_new made: test_sensitivity.c
end
F.sy_weigh_next, F.sy_weigh_most = {skip = true}, {skip = true}
for _, name in ipairs{"new", "free", "sources", "source_of", "name", "start", "answers", "first_of", "inputs", "drawn", "numbers",
  "run", "restored",
  "nothing", "fold", "result_of", "correlation", "covariance", "input_correlation", "percentile", "values"} do
  F["sy_spread_" .. name] = {skip = true} -- of what sy_spread_new made: test_montecarlo.c
end
F.sy_random_block = {skip = true} -- whole numbers go in and floats come out: test_montecarlo.c
F.sy_random_block_level = {skip = true}
F.sy_random_path = {path = '"powertrain/engine"'}
F.sy_corner_variants = {count = "5"}
F.sy_corner_variants_level = {level = "1", count = "5"}

-- answers
F.sy_answer_nth = {i = "3", fixed = {"i"}}
F.sy_wheel_key = {wheel = "3", fixed = {"wheel"}, out = {out = "SY_WHEEL_KEY"}}
F.sy_answer_name = {asked = "((sy_asked){0, 0, 1})", fixed = {"asked"}, out = {out = "SY_ANSWER_NAME"}}
F.sy_answer_find = {name = '"lf"'}
F.sy_answers_ask = {asked = {n = 3}, count = "3", counts = {"count"}, value = {out = 3, nan = true}, sd = {out = 3, nan = true},
  null = {"sd"}, calls = 300}
F.sy_answers_change = {asked_from = {n = 3}, asked_to = {n = 3}, count = "3", counts = {"count"}, change = {out = 3, nan = true},
  sd = {out = 3, nan = true}, value = {out = 3, nan = true}, null = {"sd", "value"}, calls = 200}
F.sy_answers_linear = {asked = {n = 3}, count = "3", counts = {"count"}, value = {out = 3, nan = true}, by_now = {out = 3, nan = true},
  by_drawn = {out = 3, nan = true}, by_stated = {out = 6, nan = true}, null = {"now", "drawn"}, calls = 200}
F.sy_answers_covariance = {asked = {n = 3}, count = "3", counts = {"count"}, covariance = {out = 9, nan = true}, calls = 200}
F.sy_answers_between = {covariance = {out = 9, nan = true}, calls = 100}
F.sy_beside_by_stated = {skip = true} -- of what the library found: tests/reference/oracle_places.py
F.sy_stated_wheel_way = {wheel = "1"}
F.sy_stated_line_way = {axle = "1"}
F.sy_car_stated_value = {stated = {n = 1, fixed = true}}
F.sy_same_stated = {stated = {n = 1, fixed = true}, other = {n = 1, fixed = true}}
F.sy_car_step = {by = "100", out = {out = 1, copy = true}, stated = {n = 1, fixed = true}}
F.sy_answer_set_nth = {i = "0"}
F.sy_answer_set_find = {name = '"corners"'}
F.sy_answer_by_name = {name = '"corners.lf"'}
F.sy_answer_of = {name = '"corners.lf"', value = {out = 1, nan = true}, sd = {out = 1, nan = true}, null = {"sd"}, calls = 300}
F.sy_answer_change_of = {name = '"corners.lf"', change = {out = 1, nan = true}, sd = {out = 1, nan = true}, null = {"sd"}, calls = 200}
F.sy_stand_model = {calls = 300}
F.sy_stand_solve = {calls = 300, null = {"lies"}, fill = "$lies = NULL;"}
F.sy_stand_make = {calls = 300}
F.sy_answers_ask_solved = {set = "sy_transfer_answers()", state = "&a_pushed", asked = {n = 3}, count = "3", counts = {"count"},
  value = {out = 3, nan = true}, sd = {out = 3, nan = true}, null = {"sd"}, calls = 100}
F.sy_error_key = {name = '"left shaft inner x"'}
F.sy_found_of = {value = "0.7"}
F.sy_found_add = {found = {inout = true}, key = "17", value = "20", sd = "0.3", effect = "0.0003"}
F.sy_found_change_variance = {sign = "-1", fixed = {"sign"}}
F.sy_gap_find = {gap = "0.02", null = {"b"}}
F.sy_pushed_across = {axle = "1", fixed = {"axle"}}
F.sy_pushed_height = {axle = "1", fixed = {"axle"}}
F.sy_pushed_make = {calls = 100}
F.sy_rigid_turn_make = {null = {"was"}, out = {out = 1, nan = true, infinite = true}, calls = 100}
F.sy_rigid_push_make = {null = {"was"}, out = {out = 1, nan = true, infinite = true}, calls = 100}
F.sy_rigid_make = {calls = 200}
F.sy_tip_lines_make = {out = {out = 1, nan = true}, calls = 200}
F.sy_compliant_make = {calls = 100}
F.sy_car_set_cross = {cross_share = "0.51", out = {out = 1, copy = true}}
F.sy_reading_set_up = {out = {out = 1, copy = true}, calls = 60}
F.sy_reading_expect = {asked = {n = 3}, count = "3", counts = {"count"}, value = {out = 3, nan = true}, sd = {out = 3, nan = true},
  null = {"sd"}, calls = 60}
F.sy_steady_make = {out = {out = 1, nan = true, infinite = true}, calls = 200} -- sy_steady_stand looks at what it is given
F.sy_steady_stand = {steady = "steady()", gravity = "LEVEL", null = {"lies"}, fill = "$lies = NULL;", calls = 100}
F.sy_ending_make = {steady = "steady()", limit = "1.1", wheel = "1", fixed = {"wheel"}}
F.sy_ending_of_other = {steady = "steady()"}
F.sy_unusable_find = {part = "0.95", error = {n = 2}, count = "2", counts = {"count"}}

-- vehicle
F.sy_ratio_check = {part = '"left front wheel"'}
F.sy_wheel_on_bump_stop = {travel = "0.04"}
F.sy_ratio_at = {travel = "0.02"}
F.sy_ratio_spring_travel = {travel = "0.02"}
F.sy_ratio_steepness = {travel = "0.02", side = "1", free = {"side"}}
F.sy_vehicle_add_axle = {vehicle = {inout = true}, track = "1.43"}
F.sy_vehicle_contacts = {contacts = {out = "SY_MAX_WHEELS"}}
F.sy_vehicle_first_wheel = {axle = "1", fixed = {"axle"}}
F.sy_vehicle_wheel_name = {wheel = "3", fixed = {"wheel"}, name = {out = "SY_WHEEL_NAME"}}
F.sy_vehicle_track = {axle = "1", fixed = {"axle"}}
F.sy_vehicle_lever = {axle = "1", fixed = {"axle", "side"}, side = "1"}
F.sy_vehicle_radius = {axle = "1", fixed = {"axle"}}

return R
