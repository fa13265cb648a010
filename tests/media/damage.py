"""Copies of recordings with bytes of some of their pictures overwritten by zeros, as a failing drive leaves them."""

from collections.abc import Collection
from pathlib import Path

import av


def zeroed(path: Path, folder: Path, packets: Collection[int]) -> Path:
    """A copy in which the packets of these numbers, in the order of the file, hold nothing but zeros."""
    raw = bytearray(path.read_bytes())
    with av.open(str(path)) as container:
        stored = [bytes(packet) for packet in container.demux(video=0) if packet.size]
    at = 0
    for number, packet in enumerate(stored):
        at = raw.index(packet, at)
        if number in packets:
            raw[at : at + len(packet)] = bytes(len(packet))
        at += len(packet)
    out = folder / path.name
    out.write_bytes(raw)
    return out
