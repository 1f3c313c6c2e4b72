/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stddef.h>

#include <dialarc/status.h>

typedef struct entry {
    dialarc_status status;
    const char *name;
    const char *text;
} entry;

static const entry entries[] = {
    {DIALARC_OK, "DIALARC_OK", "Everything is in order."},
    {DIALARC_NOT_CONVERGED, "DIALARC_NOT_CONVERGED",
     "The readings contradict each other: there is a result, but do not rely on it "
     "before the sweep has been taken again."},
    {DIALARC_ERR_NULL, "DIALARC_ERR_NULL",
     "The calling program handed over no data where data is needed."},
    {DIALARC_ERR_NOT_FINITE, "DIALARC_ERR_NOT_FINITE",
     "One of the numbers is missing or infinite: every number given must be an ordinary "
     "one."},
    {DIALARC_ERR_NO_MEMORY, "DIALARC_ERR_NO_MEMORY",
     "The computer has run out of memory: close other programs and try again."},
    {DIALARC_ERR_SIZE, "DIALARC_ERR_SIZE",
     "There are too few or too many values for this."},
    {DIALARC_ERR_LOBES, "DIALARC_ERR_LOBES",
     "The number of cam lobes must be from 1 to 16; as a rule it is that of the "
     "cylinders."},
    {DIALARC_ERR_LAW, "DIALARC_ERR_LAW",
     "The cam law is not one of the list: leave it out if it is not known."},
    {DIALARC_ERR_SEGMENTS, "DIALARC_ERR_SEGMENTS",
     "Rise and dwells of the cam do not fit one lobe: the rise must be above 0, no dwell "
     "below 0, and together with the fall they fill 360 degrees divided by the lobes; a "
     "cam law needs its rise."},
    {DIALARC_ERR_BLEND, "DIALARC_ERR_BLEND",
     "The blend at each end of a constant-rate flank must be above 0 and at most half of "
     "the flank."},
    {DIALARC_ERR_LIFT, "DIALARC_ERR_LIFT",
     "The plunger lift must not be below 0 nor above the total lift of the cam, and the "
     "total lift must be above 0."},
    {DIALARC_ERR_RATIO, "DIALARC_ERR_RATIO",
     "The ratio must be above 0; a four-stroke engine turns its crank twice for each "
     "turn of the pump."},
    {DIALARC_ERR_WINDOW, "DIALARC_ERR_WINDOW",
     "The window needs both limits, the lower one at least 0 and below the upper one and "
     "below the total lift: look it up again in the service literature."},
    {DIALARC_ERR_SD, "DIALARC_ERR_SD", "A standard uncertainty must not be below 0."},
    {DIALARC_ERR_DIAL, "DIALARC_ERR_DIAL",
     "The dial is described wrongly: graduation, hysteresis and error must not be below "
     "0, one turn of the needle must be above 0 and above the graduation, the sense must "
     "be 1 or -1."},
    {DIALARC_ERR_TEETH, "DIALARC_ERR_TEETH", "A sprocket must have at least one tooth."},
    {DIALARC_ERR_LENGTH, "DIALARC_ERR_LENGTH",
     "A length, radius or diameter must be above 0."},
    {DIALARC_ERR_ANGLE, "DIALARC_ERR_ANGLE",
     "An angle lies outside the range it may have."},
    {DIALARC_ERR_FLANK, "DIALARC_ERR_FLANK",
     "Say whether the rising or the falling flank of the cam is meant."},
    {DIALARC_ERR_DIRECTION, "DIALARC_ERR_DIRECTION",
     "The direction is not one of the list: a crank turns with or against its running "
     "direction, a pump turns clockwise or counter-clockwise."},
    {DIALARC_ERR_ORDER, "DIALARC_ERR_ORDER",
     "The table must be sorted: each value of its first column above the one before."},
    {DIALARC_ERR_NO_SOLUTION, "DIALARC_ERR_NO_SOLUTION",
     "No setting in the possible range gives this value."},
    {DIALARC_ERR_NO_TONE, "DIALARC_ERR_NO_TONE",
     "The recording holds no clear tone: pluck the span again, nearer to the microphone "
     "and with less noise around."},
    {DIALARC_ERR_PROBABILITY, "DIALARC_ERR_PROBABILITY",
     "A probability must lie between 0 and 1."},
    {DIALARC_ERR_POSITIVE, "DIALARC_ERR_POSITIVE", "The quantity must be above 0."},
    {DIALARC_ERR_FILE, "DIALARC_ERR_FILE",
     "A file cannot be opened, read or written: check its name, its permissions and the "
     "space on the disk."},
    {DIALARC_ERR_TABLE, "DIALARC_ERR_TABLE",
     "The table cannot be read: the message names the row and the column at fault."},
    {DIALARC_ERR_CANCELLED, "DIALARC_ERR_CANCELLED", "The work was stopped on request."},
    {DIALARC_ERR_DOF, "DIALARC_ERR_DOF",
     "The degrees of freedom must be at least 1, or 0 for infinitely many."},
    {DIALARC_ERR_SHAPE, "DIALARC_ERR_SHAPE",
     "The distribution is not one of the list, or it is not one that has limits."},
    {DIALARC_ERR_FREQUENCY, "DIALARC_ERR_FREQUENCY",
     "A frequency must be above 0; a band needs its lower limit below its upper one, "
     "and both within what the recording can hold."},
    {DIALARC_ERR_DEFLECTION, "DIALARC_ERR_DEFLECTION",
     "The deflection of the span must be above 0 and at most a sixteenth of its "
     "length; a sixty-fourth is usual."},
    {DIALARC_ERR_STIFFNESS, "DIALARC_ERR_STIFFNESS",
     "A bending stiffness must not be below 0, Young's modulus must be above 0 and "
     "Poisson's ratio from 0 to 0.5."},
    {DIALARC_ERR_TEMPERATURE, "DIALARC_ERR_TEMPERATURE",
     "The temperature of the fuel must be from -40 to 120 degrees Celsius."},
    {DIALARC_ERR_PRESSURE, "DIALARC_ERR_PRESSURE",
     "The pressure of the fuel must be from 0 to 100 MPa above that of the air."},
    {DIALARC_ERR_SPEED, "DIALARC_ERR_SPEED",
     "The speed of the engine must not be below 0."},
    {DIALARC_ERR_FRACTION, "DIALARC_ERR_FRACTION",
     "The fractions must not be below 0, and together they must make a whole."},
    {DIALARC_ERR_SLACK, "DIALARC_ERR_SLACK",
     "Slack and stretch must not be below 0: neither brings the pump forward."},
    {DIALARC_ERR_CRANK, "DIALARC_ERR_CRANK",
     "The connecting rod must be longer than the crank throw and the offset of the "
     "gudgeon pin together."},
    {DIALARC_ERR_DROP, "DIALARC_ERR_DROP",
     "The piston can only be between the top and the bottom of its stroke."},
    {DIALARC_ERR_READING, "DIALARC_ERR_READING",
     "The dial reading lies outside the calibration table: extend the table."},
    {DIALARC_ERR_UNDERCUT, "DIALARC_ERR_UNDERCUT",
     "The roller is too large for this cam: part of the curve could not be made, or not "
     "be followed."},
    {DIALARC_ERR_SIDE, "DIALARC_ERR_SIDE", "Say whether before or after TDC is meant."},
    {DIALARC_ERR_FIRING_ORDER, "DIALARC_ERR_FIRING_ORDER",
     "A firing order names each cylinder once, from 1 to the number of lobes."},
    {DIALARC_ERR_BATCH, "DIALARC_ERR_BATCH",
     "The calling program put this sweep together wrongly: its readings or its setup "
     "are not among those handed over."},
    {DIALARC_ERR_START, "DIALARC_ERR_START",
     "No lift at TDC gives this start of delivery: TDC must lie after the foot of the "
     "rise and at the latest at its top."},
    {DIALARC_ERR_BENDING, "DIALARC_ERR_BENDING",
     "The belt is too stiff, or note, force or tension too low: bending may carry at "
     "most nine tenths of the force or of the frequency squared."},
    {DIALARC_ERR_CENTRES, "DIALARC_ERR_CENTRES",
     "The pulleys overlap: their centres must be further apart than half the sum of the "
     "diameters."},
    {DIALARC_ERR_REACH, "DIALARC_ERR_REACH",
     "The adapter is folded back too far: along the wrench the fastener must lie short "
     "of the middle of the grip."},
    {DIALARC_ERR_CONTACTS, "DIALARC_ERR_CONTACTS",
     "From the contact before TDC to the one after it the crank turns half a turn or "
     "more: the two readings are exchanged, and their middle would be BDC."},
    {DIALARC_ERR_AMBIGUOUS, "DIALARC_ERR_AMBIGUOUS",
     "The tones of the recording go with more than one note: pluck the span again, at "
     "another place, and keep the other spans still."},
    {DIALARC_ERR_STRETCH, "DIALARC_ERR_STRETCH",
     "The push stretches the belt so much that its tension before does not show: push "
     "less far."},
    {DIALARC_ERR_RANGE, "DIALARC_ERR_RANGE",
     "A number is far beyond what any engine, dial or degree wheel shows: look for a "
     "slip of the keys or another unit."},
    {DIALARC_ERR_CHOICE, "DIALARC_ERR_CHOICE",
     "What the window refers to, what is turned, whether the crank may be turned back, "
     "or the name of an input, is not one of the choices there are: leave it out if it "
     "is not known."},
};

static const entry *find(dialarc_status status)
{
    for (size_t i = 0; i < sizeof entries / sizeof entries[0]; i++)
        if (entries[i].status == status)
            return &entries[i];
    return NULL;
}

const char *dialarc_status_text(dialarc_status status)
{
    const entry *e = find(status);
    return e ? e->text : "Unknown status: library and program do not belong together.";
}

const char *dialarc_status_name(dialarc_status status)
{
    const entry *e = find(status);
    return e ? e->name : "unknown";
}
