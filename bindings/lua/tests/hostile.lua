-- SPDX-License-Identifier: GPL-3.0-or-later
-- Every function and every member is called with what it cannot use: errors, and no
-- crash. Seeded, so that what is found once is found again.
local dialarc = require "dialarc"
local demo = (os.getenv "srcdir" or ".") .. "/examples/demo/"
-- HOSTILE_SECONDS: how long one function is called at the most; a thousand times at most.
local calls_each, seconds_each = 1000, tonumber(os.getenv "HOSTILE_SECONDS" or 0.15)
local calls, refused, failures = 0, 0, 0
math.randomseed(20260131)

local function wrong(what)
  failures = failures + 1
  print("wrong: " .. what)
end

local setups = dialarc.setups_load(demo .. "setups.csv")
local sweeps = dialarc.sweeps_load(demo .. "sweeps.csv", setups)
local record = dialarc.sweeps_get(sweeps, 0)
local assessment = dialarc.assess(record.setup, record.sweep)
local cam = dialarc.Cam{lobes = 4, lift_mm = 2.2, rise_deg = 38, top_dwell_deg = 2,
                        base_dwell_deg = 10, law = dialarc.LAW_POLY345}
local reach = dialarc.Reach{first_crank_deg = -90, last_crank_deg = 20,
                            step_crank_deg = 2, both_ways = 0}
local look = dialarc.joint_look(assessment.timing)
local last = dialarc.sweeps_get(sweeps, dialarc.sweeps_count(sweeps) - 1)
local good = {setups, sweeps, record, record.setup, record.sweep, assessment, cam,
              assessment.timing, assessment.decision, assessment.timing.findings,
              dialarc.workspace_new(), dialarc.camtable_from_cam(cam, 90),
              dialarc.jobs_load(demo .. "rounds.csv", setups), dialarc.fuel_diesel(),
              dialarc.whatif_from_setup(record.setup), dialarc.Stage(), dialarc.Round(),
              dialarc.sweep_reader_open(demo .. "sweeps.csv", setups), reach, look,
              dialarc.joint_assess(record.setup, {look, look}),
              dialarc.live_new(record.setup, reach),
              dialarc.dialcal_new({0, 1}, {0, 1}, 0),
              dialarc.dials_load(demo .. "dials.csv"),
              dialarc.learned_cam_new(dialarc.workspace_new(), last.setup, last.sweep)}
local plain = {0, 1, -1, 0.5, 4, 90, 1e-300, 1e300, 0 / 0, 1 / 0, 2^32, math.maxinteger,
               math.mininteger, "", "a", "\0", "12", ("x"):rep(5000), "/", ".",
               "setup,lobes\na,4\n", true, false, {}, print, function() error "mine" end,
               function(x) return x[1] end, function() return "text" end,
               coroutine.create(print),
               setmetatable({}, {__len = function() return -1 end})}

local function one_of(list) return list[math.random(#list)] end

local function list()
  local made, length = {}, one_of{0, 1, 2, 3, 4, 5, 70}
  local kind = one_of{plain, good, {0.5}, {1, 2, 3, 4}}
  for i = 1, length do made[i] = one_of(kind) end
  if math.random(5) == 1 then made[2] = nil end
  return made
end

local function argument()
  local choice = math.random(5)
  if choice == 1 then return one_of(plain) end
  if choice == 2 then return one_of(good) end
  if choice == 3 then return list() end
  if choice == 4 then return plain[math.random(13)] end  -- a number
  return nil
end

local function call(name, action, ...)
  calls = calls + 1
  local done, problem = pcall(action, ...)
  if not done then
    refused = refused + 1
    if tostring(problem) == "" then wrong(name .. ": an error that says nothing") end
  end
end

-- Trials that take minutes, and functions of Lua for the module itself.
local function left_out(name)
  return name == "propagate_adaptive" or name == "propagate_monte_carlo" or
         name == "whatif_propagate" or
         name:find "^swig_" or name == "equals"
end

local names = {}
for name in pairs(dialarc) do table.insert(names, name) end
table.sort(names)
for _, name in ipairs(names) do
  local action = dialarc[name]
  local callable = type(action) == "function" or type(action) == "table"
  local finish = os.clock() + seconds_each
  for _ = 1, callable and not left_out(name) and calls_each or 0 do
    local arguments = {}
    local count = math.random(0, 6)
    for i = 1, count do arguments[i] = argument() end
    if os.getenv "TRACE" then io.stderr:write(name, "\n") end
    call(name, action, table.unpack(arguments, 1, count))
    if os.clock() > finish then break end
  end
end

-- Members: the fields and methods that the class of each object has; those that begin
-- with "__" are SWIG's own.
for _, object in ipairs(good) do
  local meta = getmetatable(object)
  for _, kind in ipairs{".get", ".set", ".fn"} do
    for member in pairs(meta[kind] or {}) do
      if os.getenv "TRACE" then io.stderr:write(meta[".type"], ".", member, "\n") end
      for _ = 1, member:find "^__" and 0 or 20 do
        call(member, function() object[member] = argument() end)
        call(member, function()
          local value = object[member]
          if type(value) == "function" then value(argument(), argument()) end
        end)
      end
    end
  end
end

if refused * 2 < calls then wrong("only " .. refused .. " of " .. calls
                                  .. " were refused") end
print(("Hostile calls: %d, refused: %d, failures: %d"):format(calls, refused, failures))
os.exit(failures == 0, true)
