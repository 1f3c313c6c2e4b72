-- SPDX-License-Identifier: GPL-3.0-or-later
-- The module for Lua: the shared vectors to the last bit, every function, arrays, errors.
local dialarc = require "dialarc"
local srcdir = os.getenv "srcdir" or "."
local checks, failures = 0, 0

local function check(good, what)
  checks = checks + 1
  if not good then
    failures = failures + 1
    print("wrong: " .. what)
  end
end

-- ---- the shared vectors -------------------------------------------------------------

local known = {product = function(x) return x[1] * x[2] end}

local function value_of(word)
  if word == "-" then return nil end
  return known[word] or tonumber(word) or word
end

local function arguments_of(text)
  local list, count = {}, 0
  for word in text:gmatch "%S+" do
    count = count + 1
    if word:find ";" then
      list[count] = {}
      for part in word:gmatch "[^;]+" do table.insert(list[count], value_of(part)) end
    else
      list[count] = value_of(word)
    end
  end
  return list, count
end

local function at_path(results, path)
  local value = results[tonumber(path:match "^%d+")]
  for dot, name in path:gsub("^%d+", ""):gmatch "([.%[])([^.%[%]]+)" do
    if dot == "." then value = value[name] else value = value[tonumber(name) + 1] end
  end
  return value
end

local function bits(number)
  return ("%016x"):format(string.unpack("i8", string.pack("d", number)))
end

local function vectors()
  local last, results
  for line in io.lines(os.getenv "VECTORS" or srcdir .. "/refdata/vectors.csv") do
    local call, arguments, path, value, wanted =
      line:match "^([^,]*),([^,]*),([^,]*),([^,]*),([^,]*),"
    if wanted ~= "" and wanted ~= "bits" then
      check(bits(tonumber(value)) == wanted, "reading " .. value)
    end
    if call:sub(1, 1) == "=" then
      known[call:sub(2)][path] = math.tointeger(tonumber(value)) or tonumber(value)
    elseif call ~= "call" then
      if path:sub(1, 1) == "=" or call .. arguments ~= last then
        local list, count = arguments_of(arguments)
        results = table.pack(dialarc[call](table.unpack(list, 1, count)))
        last = call .. arguments
      end
      if path:sub(1, 1) == "=" then
        known[path:sub(2)], last = results[1], nil
      else
        check(bits(at_path(results, path)) == wanted, line)
      end
    end
  end
end

-- ---- the rest -----------------------------------------------------------------------

-- Functions that C and Python alone have: memory and streams of C, and what stands for
-- them.
local function left_out(name)
  return name == "sweep_reader_new" or name:find "^sweep_buffer_" or name:find "_free$" or
         name:find "^read_" or name == "batch_assess"
end

local function every_function()
  for line in io.lines(srcdir .. "/lib/dialarc.sym") do
    local name = line:gsub("^dialarc_", "")
    check(left_out(name) or type(dialarc[name]) == "function", name .. " is missing")
  end
end

local function refused(name, text, call, ...)
  local good, problem = pcall(call, ...)
  check(not good and tostring(problem):find(text, 1, true), "error: "
        .. tostring(problem))
  if name then
    check(problem.name == name and problem.status == dialarc[name:gsub("DIALARC_", "")],
          "status of " .. tostring(problem))
  end
end

local function errors(cam)
  refused("DIALARC_ERR_NOT_FINITE", "cam_lift(): ", dialarc.cam_lift, cam, 0 / 0)
  refused("DIALARC_ERR_NULL", "cam_lift(): ", dialarc.cam_lift, nil, 1)
  refused("DIALARC_ERR_LIFT", "cam_lift(): ", dialarc.cam_lift,
          dialarc.Cam{lobes = 4, rise_deg = 30, law = dialarc.LAW_POLY345}, 1)
  refused(nil, "pump_deg: a table is needed", dialarc.cam_lift_array, cam, "many")
  refused(nil, "pump_deg: every value must be a number", dialarc.cam_lift_array, cam,
          {1, "2"})
  refused(nil, "sd: the arrays are not of the same length",
          dialarc.conformity_probabilities, {1, 2}, {1}, 0, 1)
  refused(nil, "stage: a table of structs", dialarc.drive_ratio, {cam})
  refused(nil, "expected 'double'", dialarc.cam_lift, cam, "much")
  refused(nil, "No setter", function() cam.lift_inch = 1 end)
  refused(nil, "Cam: no field is called 'lift'; there are base_dwell_deg, ",
          function() dialarc.Cam{lift = 2} end)
  refused("DIALARC_ERR_TABLE", "line 1 (header)", dialarc.setups_read, "setup,lobs\n")
  refused("DIALARC_ERR_FILE", "setups_load(): ", dialarc.setups_load, "no such file")
  refused(nil, "model: the function failed", dialarc.propagate_linear,
          {dialarc.Input{centre = 1, spread = 0.1}}, function() error "on purpose" end)
end

-- A new setup knows nothing.
local function unknown()
  for name in pairs(getmetatable(dialarc.Setup())[".get"]) do
    local value = dialarc.Setup()[name]
    check(not name:find "_mm$" and not name:find "_deg$" or value ~= value,
          "a new setup: " .. name)
  end
end

-- Nothing is learned from two readings: residuals that nobody knows.
local function residuals()
  local sweep = dialarc.make_sweep({0, 1}, {0.1, 0.2}, nil)
  local residual_mm = dialarc.timing_estimate(dialarc.workspace_new(),
                                              dialarc.setup_unknown(4), sweep)
  check(#residual_mm == 2 and residual_mm[1] ~= residual_mm[1], "residuals of nothing")
end

local function tables()
  local demo = srcdir .. "/examples/demo/"
  local setups = dialarc.setups_load(demo .. "setups.csv")
  local sweeps = dialarc.sweeps_load(demo .. "sweeps.csv", setups)
  local all = dialarc.assess_all(setups, sweeps, 2)
  check(dialarc.assessments_count(all) == dialarc.sweeps_count(sweeps),
        "number of results")
  for i = 0, dialarc.sweeps_count(sweeps) - 1 do
    local record, got = dialarc.sweeps_get(sweeps, i), dialarc.assessments_get(all, i)
    check(#record.sweep.dial_mm == record.sweep.n, "readings of " .. record.name)
    local one = dialarc.assess(record.setup, record.sweep)
    check(bits(one.timing.lift_mm) == bits(got.timing.lift_mm), "alone and together")
  end
  local jobs = dialarc.jobs_load(demo .. "rounds.csv", setups)
  check(dialarc.jobs_get(jobs, 0):round_at(0).tdc_mm == 0.78, "rounds")
  refused("DIALARC_ERR_SIZE", "sweeps_get(): ", dialarc.sweeps_get, sweeps, 99)
end

-- Tables that are files, piece by piece; test_lua.sh compares the results.
local function files()
  local demo, out = srcdir .. "/examples/demo/", os.getenv "OUT"
  local setups = dialarc.setups_load(demo .. "setups.csv")
  local sweeps = dialarc.sweeps_load(demo .. "sweeps.csv", setups)
  local function reader_of(path)
    local reader = dialarc.sweep_reader_open(path,
                                             dialarc.setups_load(demo .. "setups.csv"))
    collectgarbage()                              -- the reader keeps its setups
    return reader
  end
  local reader = reader_of(demo .. "sweeps.csv")
  local n = 0
  for record in reader do
    local want = dialarc.sweeps_get(sweeps, n)
    check(record.name == want.name and record.setup.lobes == want.setup.lobes and
          table.concat(record.sweep.crank_deg, " ") == table.concat(want.sweep.crank_deg,
                                                                    " ") and
          table.concat(record.sweep.dial_mm, " ") == table.concat(want.sweep.dial_mm,
                                                                  " "),
          "sweep by sweep: " .. want.name)
    n = n + 1
  end
  check(n == dialarc.sweeps_count(sweeps) and dialarc.sweep_reader_next(reader) == nil,
        "the end of the table")
  check(dialarc.stream_assess(demo .. "sweeps.csv", setups, out .. "/results.csv", 2)
        == n, "number of results")
  local place, malformed = os.getenv "PLACE", os.getenv "MALFORMED"
  reader = reader_of(malformed)
  refused("DIALARC_ERR_TABLE", place, function() for _ in reader do end end)
  refused("DIALARC_ERR_TABLE", "sweep_reader_next(): ", dialarc.sweep_reader_next, reader)
  refused("DIALARC_ERR_TABLE", place, dialarc.stream_assess, malformed, setups,
          out .. "/none.csv", 2)
  refused("DIALARC_ERR_FILE", "sweep_reader_open(): path: ", dialarc.sweep_reader_open,
          "no such file", setups)
  refused("DIALARC_ERR_FILE", "stream_assess(): sweeps_path: ", dialarc.stream_assess,
          "no such file", setups, out .. "/none.csv", 2)
  refused("DIALARC_ERR_FILE", "stream_assess(): results_path: ", dialarc.stream_assess,
          malformed, setups, out .. "/none/none.csv", 2)
  refused("DIALARC_ERR_NULL", "setups: ", dialarc.sweep_reader_open, malformed, nil)
end

-- A cam written into a table and read back to the bit.
local function cams()
  local angle, lift = {0, 30.5, 60}, {0.1 + 0.2, 2, 1}
  local text = dialarc.cams_header() .. dialarc.cam_format("a, b", angle, lift, 90, 0.002)
  local found = dialarc.cams_read(text)
  check(dialarc.cams_count(found) == 1 and dialarc.cams_name(found, 0) == "a, b", "a cam")
  check(dialarc.cams_find(found, "a, b") == 0, "its number")
  local cam = dialarc.cams_get(found, 0)
  check(cam.name == "a, b" and cam.n == 3 and cam.cam_sd_mm == 0.002, "what it says")
  for i = 1, 3 do
    check(bits(cam.pump_deg[i]) == bits(angle[i]) and bits(cam.lift_mm[i])
          == bits(lift[i]), "its points")
  end
  check(dialarc.camtable_motion(cam:camtable(), 30.5).lift_mm == 2, "its curve")
  refused("DIALARC_ERR_SIZE", "cams_get(): ", dialarc.cams_get, found, 1)
  refused("DIALARC_ERR_TABLE", "line 3 (row 2), column period_deg", dialarc.cams_read,
          (text:gsub(",2,90", ",2,89")))
  refused(nil, "lift_mm: the arrays are not of the same length", dialarc.cam_format, "a",
          angle, {1}, 90, 0)
end

-- A calibration that corrects a reading by 1 %; it outlives its table.
local function dials()
  local text = "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n"
               .. "bench,-1,-1.01,0.001,2026-03-02,invented 17\nbench,9,9.09,0.001,,\n"
  local found = dialarc.dials_read(text)
  check(dialarc.dials_count(found) == 1, "a dial")
  check(dialarc.dials_name(found, 0) == "bench", "its name")
  check(dialarc.dials_certificate(found, 0) == "invented 17", "its certificate")
  check(dialarc.dials_calibrated_on(found, 0) == "2026-03-02", "its day")
  local setups = dialarc.setups_read("setup,lobes,dial\nx,4,bench\ny,4,\n")
  dialarc.setups_use_dials(setups, found)
  found = nil
  local setup = dialarc.setups_get(setups, 0)
  setups = nil
  collectgarbage() collectgarbage()
  local kept = setup.dial_calibration
  setup.dial_calibration = dialarc.dialcal_new({0, 1}, {0, 2}, 0)
  check(math.abs(dialarc.dialcal_true(kept, {1})[1] - 1.01) < 1e-12, "a kept calibration")
  check(dialarc.dialcal_true(setup.dial_calibration, {0.5})[1] == 1, "another one")
  refused("DIALARC_ERR_SIZE", "dials_name(): ", dialarc.dials_name,
          dialarc.dials_read(text), 1)
  refused("DIALARC_ERR_NO_SOLUTION", "setup x names the dial left",
          dialarc.setups_use_dials, dialarc.setups_read("setup,lobes,dial\nx,4,left\n"),
          dialarc.dials_read(text))
end

-- A cam learned from the last sweep of the demonstration; the first one states its cam.
local function learned_cams()
  local demo = srcdir .. "/examples/demo/"
  local setups = dialarc.setups_load(demo .. "setups.csv")
  local sweeps = dialarc.sweeps_load(demo .. "sweeps.csv", setups)
  local function learn(which)
    local record = dialarc.sweeps_get(sweeps, which)
    return dialarc.learned_cam_new(dialarc.workspace_new(), record.setup, record.sweep)
  end
  local cam = learn(dialarc.sweeps_count(sweeps) - 1)
  local pump_deg, lift_mm = dialarc.learned_cam_lobe(cam, 90)
  check(#pump_deg == 90 and #lift_mm == 90 and pump_deg[2] == 1, "points it learned")
  check(dialarc.learned_cam_sd(cam) > 0, "uncertainty of a learned cam")
  -- As a cam that outlives its table, in a what-if too.
  local lobe = dialarc.cam_from_table(dialarc.learned_cam_table(cam))
  local case = dialarc.Whatif()
  case:change_cam(lobe)
  local lift = dialarc.cam_lift(lobe, 20)
  lobe = nil
  collectgarbage() collectgarbage()
  check(dialarc.cam_lift(case.cam, 20) == lift and lift > 0, "a what-if keeps its cam")
  check(dialarc.learned_cam_timing(cam).cam_learned == 1, "timing of a learned cam")
  refused("DIALARC_ERR_NO_SOLUTION", "learned_cam_new(): ", learn, 0)
end

local function models()
  local inputs = {dialarc.Input{shape = dialarc.SHAPE_NORMAL, centre = 3, spread = 0.1},
                  dialarc.Input{shape = dialarc.SHAPE_NORMAL, centre = 4, spread = 0.2}}
  local slope, value, sd = dialarc.propagate_linear(inputs,
                                                    function(x) return x[1] * x[2] end)
  check(math.abs(slope[1] - 4) < 1e-6 and math.abs(slope[2] - 3) < 1e-6, "slopes")
  check(value == 12 and math.abs(sd - math.sqrt(0.52)) < 1e-6, "linear propagation")
  local together, product = {1, 0.5, 0.5, 1}, function(x) return x[1] * x[2] end
  local both = dialarc.propagate_budget(inputs, together, product)
  check(math.abs(both.sd - math.sqrt(0.76)) < 1e-6, "correlated inputs")
  local many = dialarc.propagate_adaptive(inputs, together, product, 1, 20000, 1, 0.95)
  check(many.trials == 20000 and math.abs(many.output.sd - math.sqrt(0.76)) < 0.05,
        "as many trials as it takes")
  refused(nil, "correlation: n times n", dialarc.propagate_budget, inputs, {1, 0.5},
          product)
end

-- Nothing is left behind: the second half of many calls needs no more memory.
local function memory(cam)
  local function resident()
    local file = io.open "/proc/self/statm"
    if not file then return 0 end
    local pages = file:read("a"):match "%d+ (%d+)"
    file:close()
    return tonumber(pages)
  end
  local before
  for round = 1, 3 do
    for i = 1, 10000 do
      dialarc.cam_lift_array(cam, {1, 2, 3})
      pcall(dialarc.cam_lift_array, cam, {1, 0 / 0})
      local _ = dialarc.law_motion(dialarc.LAW_CYCLOIDAL, 0, 0.5)
    end
    collectgarbage()
    collectgarbage()
    if round == 2 then before = resident() end
  end
  check(resident() - before < 64, "memory grew by pages: " .. resident() - before)
end

local cam = dialarc.Cam{lobes = 4, lift_mm = 2.2, rise_deg = 38, top_dwell_deg = 2,
                        base_dwell_deg = 10, law = dialarc.LAW_POLY345}
vectors()
every_function()
errors(cam)
unknown()
residuals()
tables()
files()
cams()
dials()
learned_cams()
models()
memory(cam)
print(("Checks: %d, Failures: %d, Errors: 0"):format(checks, failures))
os.exit(failures == 0, true)
