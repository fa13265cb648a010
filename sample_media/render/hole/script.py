"""What happens when at the macular hole: tags and narration.

The eye is a right one and its picture stands turned by 180 degrees; places are named as in the eye. Steps begin and
end as the vocabulary says of each.
"""

from ..script import Line, Row, Script

_TEACHER, _TRAINEE, _GUIDED = "teacher", "trainee", "trainee under guidance"

_PHASES = (
    Row(1.2, 9.4, "access"),
    Row(9.9, 22.7, "vitrectomy"),
    Row(25.3, 49.8, "membrane-work"),
    Row(52.4, 57.8, "reattachment"),
    Row(59.2, 63.4, "tamponade"),
    Row(65.2, 68.4, "closure"),
)

_STEPS = (
    Row(1.2, 5.2, "port-placement", _TRAINEE, note="Infusion and two working ports."),
    Row(7.4, 9.4, "infusion-check", _TRAINEE, "8 far periphery"),
    Row(9.9, 16.4, "core-vitrectomy", _TRAINEE),
    Row(17.4, 22.7, "posterior-hyaloid-separation", _GUIDED, "posterior", note="Suction alone at the disc."),
    Row(25.3, 29.2, "inner-limiting-membrane-staining", _TRAINEE, "macula", note="Laid beside the hole."),
    Row(31.0, 46.4, "inner-limiting-membrane-peeling", _GUIDED, "macula", note="A ring; its temporal part hangs on."),
    Row(46.8, 49.8, "ilm-flap", _TEACHER, "macula", note="Hinged at the temporal edge of the hole."),
    Row(52.4, 57.8, "fluid-air-exchange", _GUIDED, note="Over the disc, away from the flap."),
    Row(59.2, 63.4, "gas", _GUIDED, note="In through the infusion, out through the cannula."),
    Row(65.2, 68.4, "port-removal", _TRAINEE, note="Infusion last."),
)

_OTHERS = (
    Row(31.0, 46.4, "pinch-and-peel", _GUIDED, "macula"),
    Row(6.4, 64.0, "light-pipe"),
    Row(9.0, 23.4, "cutter-25-gauge"),
    Row(24.0, 30.1, "extrusion-cannula", note="With the dye, then to draw it off."),
    Row(30.0, 51.0, "forceps"),
    Row(51.6, 58.6, "extrusion-cannula"),
    Row(58.8, 63.6, "extrusion-cannula", note="As a vent."),
    Row(25.3, 29.2, "brilliant-blue", place="macula", strength="0.025 %"),
    Row(59.2, 63.4, "sf6", strength="20 %"),
    Row(13.4, 49.6, "macular-hole", place="macula", note="Full thickness, with a cuff of fluid."),
    Row(46.6, 46.6, "takeover-by-the-teacher", _TEACHER),
    Row(0.0, 6.2, "anterior-segment-view"),
    Row(6.2, 23.9, "wide-angle-view"),
    Row(23.9, 51.0, "macular-lens-view"),
    Row(51.0, 64.2, "wide-angle-view"),
    Row(64.2, 71.0, "anterior-segment-view"),
    Row(46.8, 49.8, "key-manoeuvre", note="Turn it like a page; let go only when it lies."),
    Row(55.4, 57.8, "pitfall", note="Drawing fluid over the hole would take the flap away."),
)

_NARRATION = (
    Line(0.6, 3.2, "A right model eye, upside down."),
    Line(3.4, 6.0, "Infusion, then two working ports."),
    Line(7.4, 9.6, "Its tip is free: open it."),
    Line(10.0, 13.2, "Core vitrectomy, from the middle outward."),
    Line(13.4, 16.4, "Note the small round hole in the macula."),
    Line(17.2, 19.6, "Suction at the disc; the ring lifts."),
    Line(19.8, 22.8, "The hyaloid follows, slowly, out to the edge."),
    Line(24.2, 27.2, "Macular lens. Blue dye, beside the hole."),
    Line(27.4, 30.2, "Draw it off. Only the membrane stays blue."),
    Line(30.8, 34.4, "Pinch the edge; peel along the retina, in a ring."),
    Line(35.4, 38.6, "Grasp again near the fold: nasal part now."),
    Line(39.6, 43.0, "Bare retina is orange, membrane blue. On, below."),
    Line(43.6, 46.4, "The temporal part stays on at the hole."),
    Line(46.8, 49.8, "I turn it over the hole, like a page."),
    Line(50.0, 51.8, "It lies. Let it go."),
    Line(52.4, 55.2, "Air in, over the disc, off the flap."),
    Line(55.4, 58.2, "The last fluid goes; the flap holds."),
    Line(59.2, 63.2, "Gas now, twenty per cent, out through the vent cannula."),
    Line(65.2, 68.2, "Ports out: both hands, then the infusion."),
    Line(68.4, 70.6, "Every opening is tight. Thank you."),
)

SCRIPT = Script(71.0, _STEPS, (*_PHASES, *_OTHERS), _NARRATION)
