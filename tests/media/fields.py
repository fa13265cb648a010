"""An interlaced H.264 stream whose every field is a picture of its own, as camcorders write it (AVCHD).

No encoder at hand makes such streams, so the bits are put together here after ITU-T H.264: a sequence
whose frames may be fields (7.3.2.1.1, frame_mbs_only_flag 0), and slices with field_pic_flag 1
(7.3.3) whose macroblocks are uncompressed (7.3.5, I_PCM).
"""

from fractions import Fraction
from pathlib import Path

import av

RATE = 25
ACROSS, DOWN = 2, 1
"""Macroblocks of 16 pixels in a field."""


class Bits:
    def __init__(self) -> None:
        self._bits: list[int] = []

    def u(self, value: int, count: int) -> "Bits":
        self._bits += [value >> at & 1 for at in reversed(range(count))]
        return self

    def ue(self, *values: int) -> "Bits":
        """Exp-Golomb code (9.1)."""
        for value in values:
            self.u(0, (value + 1).bit_length() - 1).u(value + 1, (value + 1).bit_length())
        return self

    def align(self) -> "Bits":
        return self.u(0, -len(self._bits) % 8)

    def unit(self, header: int) -> bytes:
        """A NAL unit with its start code, stop bit and emulation prevention (7.3.1, 7.3.2.11, annex B)."""
        bits = self.u(1, 1).align()._bits
        payload = bytearray([header])
        zeros = 0
        for at in range(0, len(bits), 8):
            byte = int("".join(map(str, bits[at : at + 8])), 2)
            if zeros >= 2 and byte <= 3:
                payload.append(3)
                zeros = 0
            payload.append(byte)
            zeros = zeros + 1 if byte == 0 else 0
        return b"\0\0\0\1" + bytes(payload)


def _sequence() -> bytes:
    bits = Bits().u(77, 8).u(0, 8).u(30, 8).ue(0, 0, 2, 1).u(0, 1).ue(ACROSS - 1, DOWN - 1)
    bits.u(0, 1).u(0, 1).u(1, 1).u(0, 1)  # fields, none within a macroblock; no cropping
    timing = bits.u(1, 1).u(0, 4).u(1, 1).u(1, 32).u(2 * RATE, 32).u(1, 1)
    return timing.u(0, 4).unit(0x67)


def _picture_parameters() -> bytes:
    bits = Bits().ue(0, 0).u(0, 2).ue(0, 0, 0).u(0, 3).ue(0, 0, 0)
    return bits.u(1, 1).u(0, 2).unit(0x68)


def _field(number: int, bottom: bool, luma: int) -> bytes:
    bits = Bits().ue(0, 7, 0).u(0, 4).u(1, 1).u(bottom, 1)
    if bottom:
        bits.u(0, 1)
    else:
        bits.ue(number % 2).u(0, 2)
    bits.ue(0, 1)
    for _ in range(ACROSS * DOWN):
        bits.ue(25).align()
        for value in [luma] * 256 + [128] * 128:
            bits.u(value, 8)
    return bits.unit(0x61 if bottom else 0x65)


def write_fields(path: Path, pictures: int = 25, one_packet: bool = False) -> Path:
    """A transport stream of grey pictures, each two fields; both may come in one packet with one stamp."""
    delimiter = Bits().u(7, 3).unit(0x09)
    with av.open(str(path), "w", format="mpegts") as container:
        stream = container.add_stream("libx264", rate=RATE)
        stream.width, stream.height, stream.pix_fmt = ACROSS * 16, DOWN * 32, "yuv420p"
        stream.time_base = Fraction(1, 90_000)
        frame = 90_000 // RATE
        for number in range(pictures):
            luma = 16 + number * 8
            top = delimiter + _sequence() + _picture_parameters() + _field(number, False, luma)
            bottom = delimiter + _field(number, True, luma)
            halves = [(top + bottom, 0)] if one_packet else [(top, 0), (bottom, frame // 2)]
            for data, later in halves:
                packet = av.Packet(data)
                packet.stream, packet.time_base = stream, Fraction(1, 90_000)
                packet.pts = packet.dts = number * frame + later
                packet.duration = frame // len(halves)
                packet.is_keyframe = True
                container.mux(packet)
    return path
