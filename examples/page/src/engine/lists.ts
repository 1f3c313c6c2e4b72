// SPDX-License-Identifier: GPL-3.0-or-later
// What is seen to before and after, to be ticked. Common practice, no source.

export const BEFORE = [
    "I have the manufacturer's literature for this engine and pump, and it comes first; then local rules and licensed practice.",
    "Fuel is shut off and the battery disconnected: a turned engine can start or crush. I turn it by hand, at the crank only.",
    "The lines are without pressure. Fuel under high pressure goes through skin: never feel for a leak with a hand.",
    "I know whether this belt or its tensioner forbids turning back.",
    "The cold-start advance is out of action.",
    "Every locking pin is out before the engine is turned.",
    "The dial stands square on the plunger, with 1 to 2 mm of preload and travel to spare beyond full lift.",
    "The timed cylinder is the one whose firing TDC I use: its valves are closed there.",
];

export const AFTER = [
    "Fasteners tightened to the manufacturer's torque, and the lift read once more when tight: it was in the window.",
    "Every locking pin is out.",
    "Turned two full turns by hand at the crank, without resistance.",
    "Dial out, its plug in with a new seal, at the manufacturer's torque.",
    "The cold-start advance is in action again.",
    "Lines tight and bled; nobody stands before a line when it is first run.",
    "After the first run: no leaks, looked for with a piece of card and never with a hand; belt tension as the manufacturer says.",
];
