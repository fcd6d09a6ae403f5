"""The snapshot of an open data folder: what it gives on opening, and when it is made anew."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bench.journal.places import Layers, Settled
from bench.journal.scanning import BLOCK, Counts
from bench.journal.shelf import Shelf
from bench.journal.snapshot import load, save
from bench.journal.storage import AppendStorage
from bench.journal.view import View

MUCH = 200
"""When of so many things more something was worked out, that alone is worth a new snapshot."""


@dataclass
class KeptSnapshot:
    """What is known of the data file `data` from the snapshot at `path`; empty where there is none that holds."""

    path: Path
    data: Path
    layers: Layers = field(default_factory=Layers)
    counts: Counts = field(default_factory=Counts)
    _arrays: dict[str, Any] = field(default_factory=dict)
    _plain: dict[str, Any] = field(default_factory=dict)
    _sums: list[int] = field(default_factory=list)  # of whole blocks

    @classmethod
    def read(cls, path: Path, data: Path) -> "KeptSnapshot":
        """The snapshot, if it is true of the data file as that stands on the disk now."""
        found = load(path, data)
        kept = cls(path, data)
        if found is None:
            return kept
        kept._arrays, kept._plain, end, sums = found
        kept._sums = sums[: end // BLOCK]
        keys, spots, starts = (kept._arrays.pop(name) for name in ("keys", "spots", "lines"))
        kept.layers = Layers(Settled(keys, spots, starts, end), kept._plain["odd"])
        kept.counts.highs = kept._plain["highs"]
        kept.counts.gaps = {device: [(gap[0], gap[1]) for gap in gaps] for device, gaps in kept._plain["gaps"].items()}
        kept.counts.marks = {device: (mark[0], mark[1]) for device, mark in kept._plain["marks"].items()}
        return kept

    @property
    def sums(self) -> tuple[int, ...]:
        """The check sums of the data file's first whole blocks, as far as they are known."""
        return tuple(self._sums)

    def view(self, storage: AppendStorage) -> View:
        """The records of an opened file, those behind the snapshot in line for filing."""
        view = View(Shelf(storage.lines.places, storage.lines.read))
        filed = view.fill(self._arrays, self._plain["view"]) if self._arrays else 0
        view.add_lines(range(filed, len(storage.lines)))
        self._arrays, self._plain = {}, {}
        return view

    def save(self, view: View, storage: AppendStorage) -> None:
        """Makes the snapshot anew. Hold the view still and the storage's pen. Without it, only a hint is missing."""
        layers = storage.lines.places.settle()
        told = view.snapshot()
        if told is None:
            return
        arrays, plain = told
        settled = layers.settled
        arrays |= {"keys": settled.keys, "spots": settled.spots, "lines": settled.starts}
        counts = {"highs": storage.counts.highs, "marks": storage.counts.marks, "gaps": storage.counts.gaps}
        everything = {"odd": layers.fresh, "view": plain, **counts}
        kept = save(self.path, self.data, storage.end, arrays, everything, self._sums)
        if kept is not None:
            self._sums = kept[: storage.end // BLOCK]
