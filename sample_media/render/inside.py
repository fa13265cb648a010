"""The view into the eye through the wide-angle lens: retina, light, what floats, and the instruments."""

from dataclasses import dataclass
from functools import cached_property
from math import cos, exp, hypot, sin
from typing import NamedTuple, cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from . import bubble, instruments, light, optics, vitreous
from .bubble import Border
from .instruments import Kind, Pose
from .motion import drift, tremor
from .optics import Target
from .pixels import Colour, Grid, Mask, Picture, Point, colour, ease, smoothstep
from .shafts import Shaft, Shine, glow, shaft
from .stage import Lens, Retina, Stage
from .visits import Visit

_EDGE = 0.975
"""Radius of the field as a share of half the picture's height."""


_BESIDE = 1.5
"""How far from the middle of the field a tip is drawn at most."""


class View(NamedTuple):
    """How the eye lies under the microscope at a moment, shifted and rolled, and where air makes it look smaller."""

    u: float
    v: float
    roll: float
    border: Border
    lens: Lens

    @property
    def scale(self) -> float:
        """Of the whole picture; a border that runs across it is bent in later."""
        return 1 / bubble.MINIFIED if self.border.is_all_air else 1.0

    def seen(self, at: Point) -> Point:
        """Where a position on the retina appears."""
        size = bubble.shrink(at, self.border)
        c, s = cos(self.roll) * size, sin(self.roll) * size
        x, y = (at[0] - self.lens.middle[0]) * self.lens.zoom, (at[1] - self.lens.middle[1]) * self.lens.zoom
        return c * x - s * y + self.u, s * x + c * y + self.v

    def target(self, tip: Target) -> Target:
        """Where a tip appears; one that is out of the view waits at its edge."""
        u, v = self.seen((tip.u, tip.v))
        near = min(1.0, _BESIDE / max(hypot(u, v), 1e-6))
        return Target(u * near, v * near, tip.height)


class Tool(NamedTuple):
    """An instrument in the eye at a moment."""

    visit: Visit
    tip: Target
    action: float


def tools(stage: Stage, t: float, view: View) -> list[Tool]:
    """The instruments in the eye at `t` seconds of the script, the light pipe first."""
    found = []
    for number, visit in enumerate(stage.visits):
        if visit.is_in(t):
            action = visit.action(t)
            if visit.kind is Kind.LASER:
                flash = stage.laser.firing(t) if stage.laser else None
                action = flash[0] if flash else 0.0
            found.append(Tool(visit, view.target(tremor(visit.tip(t), t, float(number))), action))
    return found


@dataclass
class Inside:
    """Draws the field for a picture of `height` pixels, a square of that size, through one lens."""

    height: int
    stage: Stage
    lens: Lens

    @cached_property
    def grid(self) -> Grid:
        return Grid.square(self.height, 1 / _EDGE)

    @property
    def _radius(self) -> float:
        """Of an instrument's shaft as it is drawn, in eye radii."""
        return instruments.RADIUS * self.lens.stout

    @cached_property
    def _half(self) -> Grid:
        """The grid of the light, which has no fine detail."""
        return Grid.square(max(self.height // 2, 8), 1 / _EDGE)

    @cached_property
    def _canvas(self) -> Grid:
        size = int(self.height * 1.20)
        return Grid(size, size, size / (2 * 1.20 / _EDGE) * self.lens.zoom, self.lens.middle)

    @cached_property
    def _retina(self) -> Retina:
        return self.stage.retina(self._canvas)

    @cached_property
    def _vitreous(self) -> vitreous.Vitreous:
        return vitreous.Vitreous(self._half, self.stage.gel, self.stage.hyaloid)

    @cached_property
    def _points(self) -> optics.Places:
        quarter = Grid.square(max(self.height // 4, 4), 1 / _EDGE)
        return optics.retina(*quarter.axes())

    @cached_property
    def _field(self) -> Mask:
        """1 inside the round field, with the darkening toward the lens's edge."""
        u, v = self.grid.axes()
        r = np.hypot(u, v)
        return cast(
            Mask,
            (np.clip((1 - r) * self.grid.scale * 0.6, 0, 1) * (1 - 0.50 * smoothstep(0.72, 1.04, r))).astype(
                np.float32
            ),
        )

    def draw(self, t: float, beat: float) -> Picture:
        """The field at `t` seconds of the script; `beat` varies what is too fast for the camera."""
        border = bubble.border(self.stage.exchange, t)
        view = View(*drift(t), border, self.lens)
        present = tools(self.stage, t, view)
        lamps = self._lamps(t, present)
        picture = self._warped(t, view)
        if border.is_open:
            picture = bubble.bend(picture, self.grid, self._half, border, t)
        lit, back = self._light(t, present, lamps, border)
        size = (self.grid.width, self.grid.height)
        picture *= cv2.resize(lit, size, interpolation=cv2.INTER_LINEAR)
        if back is not None:
            picture += cv2.resize(back, size, interpolation=cv2.INTER_LINEAR)
        self._laser_light(picture, t, view)
        self._draw_infusion(picture, view, lamps)
        for tool in present:
            self._draw_tool(picture, tool, lamps, beat)
        picture *= self._field[..., None]
        return picture

    def _warped(self, t: float, view: View) -> Picture:
        canvas, grid = self._canvas, self.grid
        scale = view.scale * grid.scale * self.lens.zoom / canvas.scale
        c, s = cos(view.roll) * scale, sin(view.roll) * scale
        middle, centre = (canvas.width - 1) / 2, grid.pixel((view.u, view.v))
        move = np.array([[c, -s, centre[0] - c * middle + s * middle], [s, c, centre[1] - s * middle - c * middle]])
        return cast(
            Picture,
            cv2.warpAffine(
                self._retina.at(t),
                move,
                (grid.width, grid.height),
                flags=cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REFLECT,
            ),
        )

    def _lamps(self, t: float, present: list[Tool]) -> list[light.Lamp]:
        lamps = [
            light.light_pipe(
                tool.visit.hand.port, tool.tip, tool.action * ease(1.25, 0.85, hypot(tool.tip.u, tool.tip.v))
            )
            for tool in present
            if tool.visit.kind is Kind.LIGHT_PIPE
        ]
        fixed = self.stage.fixed_light(t)
        return [*lamps, light.chandelier(fixed)] if fixed > 0 else lamps

    def _light(
        self, t: float, present: list[Tool], lamps: list[light.Lamp], border: Border
    ) -> tuple[Picture, Picture | None]:
        """Light on the retina, and light thrown back before it gets there (None where there is none)."""
        rods = [
            light.Rod(tool.visit.hand.port, tool.tip, self._radius)
            for tool in present
            if tool.visit.kind is not Kind.LIGHT_PIPE
        ]
        lighting = light.on_retina(self._half, self._points, lamps, rods)
        lit, back = lighting.light, np.zeros_like(lighting.light)
        cutter = next((tool.tip for tool in present if tool.visit.kind is Kind.CUTTER), None)
        beam = np.float32(0.10) + np.minimum(lighting.direct, 0.9)
        tip = next((tool for tool in present if tool.visit.kind is Kind.LIGHT_PIPE), None)
        strands = self._vitreous.strands(t, cutter)
        if strands is not None:
            vitreous.lay(back, strands * beam * np.float32(0.42), (0.95, 0.86, 0.70))
            lit *= (1 - 0.30 * np.minimum(strands, 1))[..., None]
        hyaloid = self._vitreous.hyaloid(t, cutter)
        if hyaloid is not None:
            vitreous.lay(back, hyaloid * beam, (0.92, 0.88, 0.76))
        plume = self._vitreous.plume(self.stage.bleed, t) if self.stage.bleed else None
        if plume is not None:
            lit *= np.exp(-plume[..., None] * colour((0.9, 2.6, 2.8)))
            vitreous.lay(back, plume * beam * np.float32(0.05), (1.0, 0.10, 0.05))
        if tip is not None:
            amount = tip.action * (0.035 + 0.16 * ease(self.stage.gel.clears[1], self.stage.gel.clears[0], t))
            port = tip.visit.hand.port
            vitreous.lay(
                back,
                vitreous.haze(self._half, (tip.tip.u, tip.tip.v), (-port[0] * 0.9, -port[1]), amount),
                (1.0, 0.90, 0.70),
            )
        self._reflections(back, lit, t, tip, border)
        return lit, back

    def _reflections(self, back: Picture, lit: Picture, t: float, pipe: Tool | None, border: Border) -> None:
        """What shines on the borders of air and oil."""
        lamp = (pipe.tip.u, pipe.tip.v) if pipe else (0.0, -0.6)
        if border.is_open:
            bubble.shine(back, lit, self._half, border, lamp, t)
        elif border.is_all_air:
            bubble.all_air(back, lit)
        air, oil = self.stage.exchange.air, self.stage.exchange.oil
        in_air = ease(air[1] - 3, air[1], t) * (ease(oil[1] - 2, oil[0] + 1, t) if oil else 1.0)
        in_oil = ease(oil[0] + 2, oil[1], t) if oil else 0.0
        if in_air > 0:
            bubble.mirror(back, self._half, in_air, lamp, (0.92, 0.96, 1.0))
        if in_oil > 0:
            bubble.mirror(back, self._half, 1.25 * in_oil, (lamp[0] + 0.1, lamp[1] + 0.05), (1.0, 0.92, 0.72))
        if oil:
            bubble.beads(back, lit, self._half, oil, t)

    def _laser_light(self, picture: Picture, t: float, view: View) -> None:
        """The red aiming spot and the green flash on the retina."""
        laser = self.stage.laser
        aim = laser.aiming(t) if laser else None
        if laser is None or aim is None:
            return
        glow(picture, self.grid, view.seen(aim), 0.010, (0.95, 0.06, 0.05))
        flash = laser.firing(t)
        if flash is not None:
            at = view.seen(flash[1])
            glow(picture, self.grid, at, 0.017, (0.45 * flash[0], 1.5 * flash[0], 0.55 * flash[0]))
            glow(picture, self.grid, at, 0.12, (0.01 * flash[0], 0.075 * flash[0], 0.02 * flash[0]))

    def _draw_infusion(self, picture: Picture, view: View, lamps: list[light.Lamp]) -> None:
        """The end of the infusion cannula, which stays in the eye throughout."""
        tip, back = (view.seen(point) for point in self.stage.infusion)
        if hypot(*tip) > 1.3:
            return
        light_there = 0.15 + 0.5 * sum(
            lamp.power * exp(-hypot(optics.seen_at(lamp.place)[0][0] - tip[0], 0) / 0.8) for lamp in lamps
        )
        shine = Shine(-1.0, light_there, 0.5 * light_there, (0.16, 0.05, 0.02))
        instruments.draw(picture, self.grid, Kind.CANNULA, Pose(Shaft(tip, back, 0.026, 0.034), shine, 0.0, 0.0))

    def _draw_tool(self, picture: Picture, tool: Tool, lamps: list[light.Lamp], beat: float) -> None:
        band = shaft(tool.visit.hand.port, tool.tip, self._radius)
        instruments.draw(
            picture, self.grid, tool.visit.kind, Pose(band, self._shine(tool, band.direction, lamps), tool.action, beat)
        )

    @staticmethod
    def _shine(tool: Tool, direction: Point, lamps: list[light.Lamp]) -> Shine:
        """How the lamps light this instrument: by their distance from its tip, and from which side."""
        strongest, side, total = 0.0, 1.0, 0.0
        for lamp in lamps:
            (u, v), _ = optics.seen_at(lamp.place)
            x, y = u - tool.tip.u, v - tool.tip.v
            reach = lamp.power * (1.0 if tool.visit.kind is not Kind.LIGHT_PIPE else 0.45) * exp(-hypot(x, y) / 1.6)
            total += lamp.power
            if reach > strongest:
                strongest, side = reach, 1.0 if direction[0] * y - direction[1] * x > 0 else -1.0
        bounce: Colour = (0.26 * min(total, 1.2), 0.085 * min(total, 1.2), 0.030 * min(total, 1.2))
        return Shine(side, 0.10 + 0.85 * strongest, 0.05 + 0.30 * strongest, bounce)
