% SPDX-License-Identifier: GPL-3.0-or-later
% Every function and every member is called with what it cannot use: errors, and no crash.
% Seeded, so that what is found once is found again.
1;
global plain good
dialarc;
srcdir = getenv ("srcdir");
if (isempty (srcdir))
  srcdir = ".";
endif

function one = one_of (list)
  one = list{randi (numel (list))};
endfunction

function list = a_list ()
  global plain good
  list = cell (1, one_of ({0, 1, 2, 3, 5, 70}));
  kind = one_of ({plain, good, {0.5}});
  for i = 1:numel (list)
    list{i} = one_of (kind);
  endfor
endfunction

function one = argument ()
  global plain good
  switch (randi (5))
    case 1
      one = one_of (plain);
    case 2
      one = one_of (good);
    case 3
      one = a_list ();
    case 4
      one = one_of (plain(1:12));            % a number
    otherwise
      one = rand (randi (4) - 1, randi (4) - 1);
  endswitch
endfunction

% Whether the call was refused, with a message.
function refused = is_refused (action, given)
  refused = false;
  try
    action (given{:});
  catch problem
    refused = true;
    if (isempty (problem.message))
      error ("an error that says nothing");
    endif
  end_try_catch
endfunction

setups = dialarc.setups_load ([srcdir "/examples/demo/setups.csv"]);
sweeps = dialarc.sweeps_load ([srcdir "/examples/demo/sweeps.csv"], setups);
record = dialarc.sweeps_get (sweeps, 0);
assessment = dialarc.assess (record.setup, record.sweep);
cam = dialarc.Cam ();
cam.lobes = 4;
cam.lift_mm = 2.2;
cam.rise_deg = 38;
cam.top_dwell_deg = 2;
cam.base_dwell_deg = 10;
cam.law = dialarc.LAW_POLY345;
reach = dialarc.Reach ();
reach.first_crank_deg = -90;
reach.last_crank_deg = 20;
reach.step_crank_deg = 2;
look = dialarc.joint_look (assessment.timing);
last = dialarc.sweeps_get (sweeps, dialarc.sweeps_count (sweeps) - 1);
good = {setups, sweeps, record, record.setup, record.sweep, assessment, cam, ...
        assessment.timing, assessment.decision, assessment.timing.findings, ...
        dialarc.workspace_new(), dialarc.camtable_from_cam(cam, 90), ...
        dialarc.fuel_diesel(), dialarc.whatif_from_setup(record.setup), dialarc.Stage(), ...
        reach, look, dialarc.joint_assess(record.setup, {look, look}), ...
        dialarc.live_new(record.setup, reach), dialarc.dialcal_new([0 1], [0 1], 0), ...
        dialarc.dials_load([srcdir "/examples/demo/dials.csv"]), ...
        dialarc.learned_cam_new(dialarc.workspace_new(), last.setup, last.sweep)};
plain = {0, 1, -1, 0.5, 4, 90, 1e-300, 1e300, NaN, Inf, 2^32, -2^63, int8(3), ...
         single(2), true, "", "a", "12", repmat("x", 1, 5000), "/", ".", ...
         "setup,lobes\na,4\n", {}, ...
         [], 1i, struct(), @sin, @(x) error("mine"), @(x) "text", zeros(0, 3), ...
         sparse(eye(2)), containers.Map()};
rand ("twister", 20260131);
% HOSTILE_SECONDS: how long one function is called at the most; a thousand times at most.
seconds_each = str2double (getenv ("HOSTILE_SECONDS"));
if (isnan (seconds_each))
  seconds_each = 0.05;
endif
[calls, refused] = deal (0);
names = strsplit (strtrim (fileread ([srcdir "/lib/dialarc.sym"])), "\n");
names = [strrep(names, "dialarc_", ""), {"assess", "assess_all", "make_sweep", ...
         "make_injection", "sweep_reader_open", "assessments_get"}];
for name = names
  if (any (strcmp (name{1}, {"propagate_adaptive", "propagate_monte_carlo", ...
                             "whatif_propagate"})))
    continue;                                % trials take minutes, whatever is asked
  endif
  start = time ();
  for i = 1:1000
    if (! isempty (getenv ("TRACE")))
      fdisp (stderr, name{1});
    endif
    given = cell (1, randi (7) - 1);
    for k = 1:numel (given)
      given{k} = argument ();
    endfor
    refused += is_refused (@(varargin) dialarc.(name{1})(varargin{:}), given);
    calls++;
    if (time () > start + seconds_each)
      break
    endif
  endfor
endfor
for object = good
  for field = {"lobes", "lift_mm", "law", "setup", "timing", "severity_of", "input_at"}
    for i = 1:5
      refused += is_refused (@(x) subsasgn (object{1}, substruct (".", field{1}), x),
                             {argument()});
      refused += is_refused (@(x) object{1}.(field{1}) (x), {argument()});
      calls += 2;
    endfor
  endfor
endfor
printf ("Hostile calls: %d, refused: %d\n", calls, refused);
exit (refused * 2 < calls);
