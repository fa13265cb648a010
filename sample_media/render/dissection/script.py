"""What happens when in the dissection of a fibrovascular membrane: tags and narration.

The eye is a left one and the picture upright, so that clock hours read as on a clock.
"""

from ..script import Line, Row, Script

_TEACHER, _TRAINEE, _GUIDED = "teacher", "trainee", "trainee under guidance"
_MEMBRANE = "4-6 mid-periphery"

PHASES = (
    Row(1.6, 11.6, "access"),
    Row(13.4, 30.4, "vitrectomy"),
    Row(32.7, 68.0, "membrane-work", note="With a bleeding, which is stopped before the dissection goes on."),
    Row(70.0, 77.0, "reattachment"),
    Row(79.0, 87.6, "retinopexy"),
    Row(89.2, 95.8, "tamponade"),
    Row(98.1, 102.7, "closure"),
)

STEPS = (
    Row(1.6, 7.4, "port-placement", _GUIDED, note="Infusion, two working ports, and one for the fixed light."),
    Row(
        8.6,
        11.6,
        "infusion-check",
        _GUIDED,
        "4 far periphery",
        note="The cannula's tip is seen in the cavity before it is opened.",
    ),
    Row(13.4, 22.0, "core-vitrectomy", _TRAINEE),
    Row(
        22.6,
        30.4,
        "posterior-hyaloid-separation",
        _GUIDED,
        "posterior",
        note="Engaged at the disc; the ring comes off in one piece.",
    ),
    Row(32.7, 37.2, "membrane-staining", _TRAINEE, _MEMBRANE),
    Row(39.6, 46.5, "segmentation", _GUIDED, _MEMBRANE, note="Three cuts, four pieces."),
    Row(48.3, 54.2, "delamination", _TEACHER, _MEMBRANE, note="Stopped for the bleeding."),
    Row(
        54.6,
        60.2,
        "haemostasis",
        _TEACHER,
        "5 mid-periphery",
        note="Pressure first, then the lake is cleared, then diathermy.",
    ),
    Row(61.3, 68.0, "delamination", _GUIDED, _MEMBRANE, note="The three remaining pieces."),
    Row(70.0, 77.0, "fluid-air-exchange", _TEACHER, note="The last fluid is taken over the disc."),
    Row(79.0, 87.6, "endolaser-around-breaks", _TRAINEE, "4-5 mid-periphery", note="Three rows."),
    Row(89.2, 95.8, "silicone-oil-fill", _GUIDED),
    Row(98.1, 102.7, "port-removal", _TRAINEE, note="Fixed light first, infusion last."),
)

TECHNIQUES = (
    Row(39.6, 46.5, "unimanual-with-the-cutter", _GUIDED, _MEMBRANE),
    Row(48.3, 53.6, "bimanual", _TEACHER, _MEMBRANE),
    Row(61.3, 67.6, "lift-and-shave", _GUIDED, _MEMBRANE),
    Row(79.0, 87.6, "under-air", _TRAINEE),
)

INSTRUMENTS = (
    Row(8.6, 46.6, "light-pipe"),
    Row(12.4, 30.4, "cutter-25-gauge"),
    Row(31.6, 37.6, "extrusion-cannula", note="With the dye."),
    Row(38.2, 53.8, "cutter-25-gauge"),
    Row(46.6, 69.0, "chandelier"),
    Row(47.8, 53.2, "forceps"),
    Row(54.8, 60.0, "extrusion-cannula"),
    Row(56.2, 60.0, "diathermy"),
    Row(60.8, 68.0, "forceps"),
    Row(60.9, 68.0, "cutter-25-gauge"),
    Row(69.0, 96.6, "light-pipe"),
    Row(69.6, 77.4, "extrusion-cannula"),
    Row(78.2, 87.8, "laser-probe"),
)

EVENTS = (
    Row(37.9, 37.9, "instrument-exchange", note="Dye cannula out, cutter in."),
    Row(47.0, 47.0, "takeover-by-the-teacher", _TEACHER),
    Row(
        49.4,
        49.4,
        "membrane-plane-found",
        _TEACHER,
        "5 mid-periphery",
        "certain",
        "The sheet parts from the retina without pull.",
    ),
    Row(52.8, 59.3, "bleeding", "", "5 mid-periphery", "certain", "From a stalk at an arcade vessel."),
    Row(54.6, 58.9, "pressure-raised", _TEACHER, note="Back to where it was once the bleeding stood."),
    Row(
        66.2,
        66.2,
        "iatrogenic-break",
        _GUIDED,
        "4-5 mid-periphery",
        "probable",
        "It may have been there under the membrane.",
    ),
    Row(69.0, 69.0, "instrument-exchange", note="Fixed light off, light pipe in."),
)

MATERIALS = (
    Row(32.7, 37.2, "trypan-blue", place=_MEMBRANE, strength="0.06 %"),
    Row(89.2, 95.8, "oil-1000"),
)

FINDINGS = (
    Row(16.6, 67.4, "fibrovascular-tissue", place=_MEMBRANE, note="One sheet on several stalks."),
    Row(17.6, 76.2, "traction-detachment", place=_MEMBRANE, note="Grey and folded under the sheet."),
)

VIEWS = (
    Row(0.0, 8.0, "anterior-segment-view"),
    Row(8.0, 96.8, "wide-angle-view"),
    Row(96.8, 105.0, "anterior-segment-view"),
)

TEACHING = (
    Row(48.2, 51.0, "key-manoeuvre", note="Find the plane with the jaws almost closed; lift along the retina."),
    Row(65.6, 67.4, "pitfall", note="Lifting straight up while an outer stalk still holds."),
)

NARRATION = (
    Line(0.6, 4.2, "A left model eye. The infusion first, low temporally."),
    Line(4.4, 8.0, "Two working ports, and one above for a fixed light."),
    Line(8.6, 12.0, "Its tip is free in the cavity: open it."),
    Line(12.6, 16.4, "Core vitrectomy: the cutter's port in view, let the gel come."),
    Line(16.6, 21.6, "Below, at five o'clock: a fibrous sheet on grey, folded retina."),
    Line(22.2, 26.0, "Suction only, at the disc. Wait. There comes the ring."),
    Line(26.2, 30.2, "Follow its edge outward. Stop where it holds on the membrane."),
    Line(31.8, 35.0, "A little blue, laid gently on the membrane."),
    Line(35.2, 37.6, "Now draw the spare dye out."),
    Line(38.3, 42.2, "Segmentation: find the bridges between the stalks, cut them across."),
    Line(42.4, 46.8, "Each cut takes away pull: see how the pieces draw apart."),
    Line(47.1, 49.2, "I take over, forceps and cutter."),
    Line(49.4, 52.4, "The plane: the sheet lifts, the retina stays."),
    Line(52.8, 56.0, "A stalk bleeds. Pressure up, and wait."),
    Line(56.2, 60.0, "Clear the lake, find the point, touch it. Pressure down."),
    Line(60.6, 64.8, "Delamination goes on: you lift, the cutter shaves beneath the edge."),
    Line(65.6, 68.6, "Lifted straight up, and the outer end tears."),
    Line(69.4, 73.2, "Air in, fluid out, and the retina goes back."),
    Line(73.4, 77.2, "The last fluid stands over the disc. Wait for it."),
    Line(78.2, 82.4, "The retina is flat: laser in rows around the break."),
    Line(82.6, 87.6, "White burns, not grey. Leave less than a spot between two."),
    Line(88.6, 92.0, "Oil, from behind forward. Watch its edge rise."),
    Line(92.2, 95.6, "A few beads of air go to the vent."),
    Line(97.3, 100.4, "Ports out: the fixed light, then both hands."),
    Line(100.6, 104.4, "Infusion last. Check that every opening is closed. Thank you."),
)

SCRIPT = Script(
    105.0,
    STEPS,
    (*PHASES, *TECHNIQUES, *INSTRUMENTS, *EVENTS, *MATERIALS, *FINDINGS, *VIEWS, *TEACHING),
    NARRATION,
)
