% SPDX-License-Identifier: GPL-3.0-or-later
% The module for Octave: the shared vectors to the last bit, every function, arrays,
% errors.
1;
global checks failures known
checks = failures = 0;
known = struct ("product", @(x) x(1) * x(2));

function check (good, what)
  global checks failures
  checks++;
  if (! good)
    failures++;
    printf ("wrong: %s\n", what);
  endif
endfunction

% ---- the shared vectors --------------------------------------------------------------

function value = value_of (word)
  global known
  if (strcmp (word, "-"))
    value = [];
  elseif (isfield (known, word))
    value = known.(word);
  elseif (! isempty (regexp (word, '^[a-z]')))
    value = word;
  else
    value = str2double (word);
  endif
endfunction

function list = arguments_of (text)
  list = {};
  for word = strsplit (text, " ")
    if (any (word{1} == ";"))
      parts = cellfun (@value_of, strsplit (word{1}, ";"), "UniformOutput", false);
      if (isnumeric (parts{1}))
        parts = cell2mat (parts);
      endif
      list{end + 1} = parts;
    elseif (! isempty (word{1}))
      list{end + 1} = value_of (word{1});
    endif
  endfor
endfunction

function value = at_path (results, path)
  parts = regexp (path, '\.([^.\[\]]+)|\[(\d+)\]', "tokens");
  value = results{str2double (regexp (path, '^\d+', "match", "once"))};
  for part = parts
    if (any (isletter (part{1}{1})))
      value = value.(part{1}{1});
    else
      value = value(str2double (part{1}{1}) + 1);
    endif
  endfor
endfunction

function vectors (file)
  global dialarc
  global known
  lines = strsplit (fileread (file), "\n");
  last = "";
  for i = 2:numel (lines) - 1
    part = strsplit (lines{i}, ",", "CollapseDelimiters", false);
    [call, arguments, path, value, bits] = part{1:5};
    if (! isempty (bits))
      check (strcmp (num2hex (str2double (value)), bits), ["reading " value]);
    endif
    if (call(1) == "=")
      object = known.(call(2:end));
      object.(path) = str2double (value);
      continue
    endif
    if (path(1) == "=" || ! strcmp ([call " " arguments], last))
      list = arguments_of (arguments);
      results = cell (1, wanted (call));
      [results{:}] = dialarc.(call) (list{:});
      last = [call " " arguments];
    endif
    if (path(1) == "=")
      known.(path(2:end)) = results{1};
    else
      got = at_path (results, path);
      check (strcmp (num2hex (double (got)), bits), lines{i});
    endif
  endfor
endfunction

% How many results to ask for.
function n = wanted (call)
  switch (call)
    case "camtable_range"
      n = 3;
    case {"camcompare_array", "drive_ratio", "drive_tooth", "follower_pitch", ...
          "conformity_acceptance", "follower_surface", "learned_cam_lobe", ...
          "learned_cam_share", ...
          "minimum_predict", "timing_estimate"}
      n = 2;
    otherwise
      n = 1;
  endswitch
endfunction

% ---- the rest ------------------------------------------------------------------------

% Functions that C and Python alone have: memory and streams of C, and what stands for
% them.
function every_function (file)
  global dialarc
  left_out = '^(sweep_reader_new$|sweep_buffer_|read_)|_free$|^batch_assess$';
  for line = strsplit (strtrim (fileread (file)), "\n")
    name = strrep (line{1}, "dialarc_", "");
    if (isempty (regexp (name, left_out, "once")))
      try
        dialarc.(name);
      catch problem
        check (! strcmp (problem.message, "member not found"), [name " is missing"]);
      end_try_catch
    endif
  endfor
endfunction

function refused (id, text, call)
  try
    call ();
    check (false, ["no error: " text]);
  catch problem
    check (! isempty (strfind (problem.message, text)), problem.message);
    if (! isempty (id))
      check (strcmp (problem.identifier, ["dialarc:DIALARC_" id]), problem.identifier);
    endif
  end_try_catch
endfunction

function errors (cam)
  global dialarc
  refused ("ERR_NOT_FINITE", "cam_lift(): ", @() dialarc.cam_lift (cam, NaN));
  refused ("", "pump_deg: a matrix of numbers", @() dialarc.cam_lift_array (cam, "many"));
  refused ("", "pump_deg: the numbers must be",
           @() dialarc.cam_lift_array (cam, single (1)));
  refused ("", "sd: the arrays are not of the same length",
           @() dialarc.conformity_probabilities ([1 2], 1, 0, 1));
  refused ("", "stage: a cell array of structs", @() dialarc.drive_ratio ({cam}));
  refused ("ERR_TABLE", "line 1 (header)", @() dialarc.setups_read ("setup,lobs\n"));
  refused ("ERR_FILE", "setups_load(): ", @() dialarc.setups_load ("no such file"));
endfunction

% A new setup knows nothing; nothing is learned from two readings.
function unknown ()
  global dialarc
  setup = dialarc.Setup ();
  for name = {"lift_low_mm", "lift_high_mm", "crank_per_pump", "angle_sd_deg", ...
              "tdc_sd_deg", "dial_sd_mm", "dial_step_mm", "dial_hysteresis_mm"}
    check (isnan (setup.(name{1})), ["a new setup: " name{1}]);
  endfor
  sweep = dialarc.make_sweep ([0 1], [0.1 0.2], []);
  [residual_mm, timing] = dialarc.timing_estimate (dialarc.workspace_new (),
                                                   dialarc.setup_unknown (4), sweep);
  check (isequal (isnan (residual_mm), [true true]), "residuals of nothing");
endfunction

function tables (demo)
  global dialarc
  setups = dialarc.setups_load ([demo "setups.csv"]);
  sweeps = dialarc.sweeps_load ([demo "sweeps.csv"], setups);
  all = dialarc.assess_all (setups, sweeps, 2);
  check (dialarc.assessments_count (all) == dialarc.sweeps_count (sweeps), "results");
  for i = 0:dialarc.sweeps_count (sweeps) - 1
    record = dialarc.sweeps_get (sweeps, i);
    got = dialarc.assessments_get (all, i);
    check (numel (record.sweep.dial_mm) == record.sweep.n, "readings");
    one = dialarc.assess (record.setup, record.sweep);
    check (strcmp (num2hex (one.timing.lift_mm), num2hex (got.timing.lift_mm)), "alike");
  endfor
  jobs = dialarc.jobs_load ([demo "rounds.csv"], setups);
  job = dialarc.jobs_get (jobs, 0);
  first = job.round_at (0);
  check (first.tdc_mm == 0.78, "rounds");
  refused ("ERR_SIZE", "sweeps_get(): ", @() dialarc.sweeps_get (sweeps, 99));
endfunction

function reader = reader_of (path, demo)
  global dialarc
  reader = dialarc.sweep_reader_open (path, dialarc.setups_load ([demo "setups.csv"]));
endfunction

function read_all (reader)
  global dialarc
  while (! isempty (dialarc.sweep_reader_next (reader)))
  endwhile
endfunction

% Tables that are files, piece by piece; test_octave.sh compares the results.
function files (demo)
  global dialarc
  [out, place, malformed] = deal (getenv ("OUT"), getenv ("PLACE"), getenv ("MALFORMED"));
  setups = dialarc.setups_load ([demo "setups.csv"]);
  sweeps = dialarc.sweeps_load ([demo "sweeps.csv"], setups);
  reader = reader_of ([demo "sweeps.csv"], demo);    % which keeps its setups
  n = 0;
  while (! isempty (record = dialarc.sweep_reader_next (reader)))
    want = dialarc.sweeps_get (sweeps, n++);
    check (strcmp (record.name, want.name) && record.setup.lobes == want.setup.lobes &&
           isequal (record.sweep.crank_deg, want.sweep.crank_deg) &&
           isequal (record.sweep.dial_mm, want.sweep.dial_mm), ["piecewise: " want.name]);
  endwhile
  check (n == dialarc.sweeps_count (sweeps), "the end of the table");
  check (isequal (dialarc.sweep_reader_next (reader), []), "after the end");
  check (dialarc.stream_assess ([demo "sweeps.csv"], setups, [out "/results.csv"], 2)
         == n, "number of results");
  reader = reader_of (malformed, demo);
  refused ("ERR_TABLE", place, @() read_all (reader));
  refused ("ERR_TABLE", "sweep_reader_next(): ", @() dialarc.sweep_reader_next (reader));
  refused ("ERR_TABLE", place,
           @() dialarc.stream_assess (malformed, setups, [out "/none.csv"], 2));
  refused ("ERR_FILE", "sweep_reader_open(): path: ",
           @() dialarc.sweep_reader_open ("no such file", setups));
  refused ("ERR_FILE", "stream_assess(): sweeps_path: ",
           @() dialarc.stream_assess ("no such file", setups, [out "/none.csv"], 2));
  refused ("ERR_FILE", "stream_assess(): results_path: ",
           @() dialarc.stream_assess (malformed, setups, [out "/none/none.csv"], 2));
endfunction

% A cam written into a table and read back to the bit.
function cams ()
  global dialarc
  angle = [0 30.5 60];
  lift = [0.1+0.2 2 1];
  text = [dialarc.cams_header() dialarc.cam_format("a, b", angle, lift, 90, 0.002)];
  found = dialarc.cams_read (text);
  check (dialarc.cams_count (found) == 1, "a cam");
  check (strcmp (dialarc.cams_name (found, 0), "a, b"), "its name");
  check (dialarc.cams_find (found, "a, b") == 0, "its number");
  cam = dialarc.cams_get (found, 0);
  check (strcmp (cam.name, "a, b") && cam.n == 3 && cam.cam_sd_mm == 0.002,
         "what it says");
  check (isequal (cam.pump_deg(:)', angle) && isequal (cam.lift_mm(:)', lift),
         "its points");
  motion = dialarc.camtable_motion (cam.camtable (), 30.5);
  check (motion.lift_mm == 2, "its curve");
  refused ("ERR_SIZE", "cams_get(): ", @() dialarc.cams_get (found, 1));
  refused ("ERR_TABLE", "line 3 (row 2), column period_deg",
           @() dialarc.cams_read (strrep (text, ",2,90", ",2,89")));
endfunction

% A calibration that corrects a reading by 1 %; it outlives its table.
function dials ()
  global dialarc
  text = ["dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n" ...
          "bench,-1,-1.01,0.001,2026-03-02,invented 17\nbench,9,9.09,0.001,,\n"];
  found = dialarc.dials_read (text);
  check (dialarc.dials_count (found) == 1, "a dial");
  check (strcmp (dialarc.dials_name (found, 0), "bench"), "its name");
  check (strcmp (dialarc.dials_certificate (found, 0), "invented 17"), "certificate");
  check (strcmp (dialarc.dials_calibrated_on (found, 0), "2026-03-02"), "its day");
  setups = dialarc.setups_read ("setup,lobes,dial\nx,4,bench\ny,4,\n");
  dialarc.setups_use_dials (setups, found);
  clear found
  setup = dialarc.setups_get (setups, 0);
  clear setups
  kept = setup.dial_calibration;
  setup.dial_calibration = dialarc.dialcal_new ([0 1], [0 2], 0);
  check (abs (dialarc.dialcal_true (kept, 1) - 1.01) < 1e-12, "a kept calibration");
  check (dialarc.dialcal_true (setup.dial_calibration, 0.5) == 1, "another one");
  refused ("ERR_NO_SOLUTION", "setup x names the dial left",
           @() dialarc.setups_use_dials (
                 dialarc.setups_read ("setup,lobes,dial\nx,4,left\n"),
                 dialarc.dials_read (text)));
endfunction

% A cam learned from the last sweep of the demonstration; the first one states its cam.
function cam = learn (sweeps, which)
  global dialarc
  record = dialarc.sweeps_get (sweeps, which);
  cam = dialarc.learned_cam_new (dialarc.workspace_new (), record.setup, record.sweep);
endfunction

function learned_cams (demo)
  global dialarc
  setups = dialarc.setups_load ([demo "setups.csv"]);
  sweeps = dialarc.sweeps_load ([demo "sweeps.csv"], setups);
  cam = learn (sweeps, dialarc.sweeps_count (sweeps) - 1);
  [pump_deg, lift_mm] = dialarc.learned_cam_lobe (cam, 90);
  check (numel (lift_mm) == 90 && pump_deg(2) == 1, "points of a learned cam");
  check (dialarc.learned_cam_sd (cam) > 0, "uncertainty of a learned cam");
  lobe = dialarc.cam_from_table (dialarc.learned_cam_table (cam));
  whatif = dialarc.Whatif ();
  whatif.change_cam (lobe);
  lift = dialarc.cam_lift (lobe, 20);
  clear lobe
  check (lift > 0 && dialarc.cam_lift (whatif.cam, 20) == lift, "keeps its cam");
  refused ("ERR_NO_SOLUTION", "learned_cam_new(): ", @() learn (sweeps, 0));
endfunction

function models ()
  global dialarc
  inputs = {dialarc.Input(), dialarc.Input()};
  inputs{1}.centre = 3;
  inputs{1}.spread = 0.1;
  inputs{2}.centre = 4;
  inputs{2}.spread = 0.2;
  [slope, value, sd] = dialarc.propagate_linear (inputs, @(x) x(1) * x(2));
  check (max (abs (slope - [4 3])) < 1e-6 && value == 12, "linear propagation");
  check (abs (sd - sqrt (0.52)) < 1e-6, "its uncertainty");
  both = dialarc.propagate_budget (inputs, [1, 0.5; 0.5, 1], @(x) x(1) * x(2));
  check (abs (both.sd - sqrt (0.76)) < 1e-6, "correlated inputs");
  many = dialarc.propagate_adaptive (inputs, [1, 0.5; 0.5, 1], @(x) x(1) * x(2), 1, ...
                                     20000, 1, 0.95);
  check (many.trials == 20000 && abs (many.output.sd - sqrt (0.76)) < 0.05, "adaptive");
  refused ("", "correlation: n times n", @() dialarc.propagate_budget (inputs, [1, 0.5],
           @(x) x(1)));
  refused ("", "model: the function failed", @() dialarc.propagate_linear (inputs,
           @(x) error ("on purpose")));
endfunction

% Nothing is left behind: the last of many calls need no more memory.
function memory (cam)
  global dialarc
  for round = 1:3
    for i = 1:1000
      dialarc.cam_lift_array (cam, [1 2 3]);
      dialarc.law_motion (dialarc.LAW_CYCLOIDAL, 0, 0.5);
      try
        dialarc.cam_lift_array (cam, [1 NaN]);
      catch
      end_try_catch
    endfor
    pages = sscanf (fileread ("/proc/self/statm"), "%d %d");
    if (round == 2)
      before = pages(2);
    endif
  endfor
  check (pages(2) - before < 64, sprintf ("memory grew by %d pages", pages(2) - before));
endfunction

dialarc;
srcdir = getenv ("srcdir");
if (isempty (srcdir))
  srcdir = ".";
endif
cam = dialarc.Cam ();
cam.lobes = 4;
cam.lift_mm = 2.2;
cam.rise_deg = 38;
cam.top_dwell_deg = 2;
cam.base_dwell_deg = 10;
cam.law = dialarc.LAW_POLY345;
file = getenv ("VECTORS");
if (isempty (file))
  file = [srcdir "/refdata/vectors.csv"];
endif
vectors (file);
every_function ([srcdir "/lib/dialarc.sym"]);
errors (cam);
unknown ();
tables ([srcdir "/examples/demo/"]);
files ([srcdir "/examples/demo/"]);
cams ();
dials ();
learned_cams ([srcdir "/examples/demo/"]);
models ();
memory (cam);
check (isequal (size (dialarc.cam_lift_array (cam, [1 2; 3 4; 5 6])), [3 2]), "shape");
printf ("Checks: %d, Failures: %d, Errors: 0\n", checks, failures);
exit (failures > 0);
