"""The thing of an address as it stands now, one function a sort; the calm page where there is none."""

from bench.web.current import current_bench
from bench.web.existing import existing
from bench.workshop.things.batches import Batch, batch
from bench.workshop.things.charges import Charge, charge
from bench.workshop.things.crucibles import Crucible, crucible
from bench.workshop.things.firings import Firing, firing
from bench.workshop.things.jars import Jar, jar
from bench.workshop.things.swatches import Swatch, swatch


def batch_or_404(thing: str) -> Batch:
    return existing(batch(current_bench().state, thing), thing)


def charge_or_404(thing: str) -> Charge:
    return existing(charge(current_bench().state, thing), thing)


def crucible_or_404(thing: str) -> Crucible:
    return existing(crucible(current_bench().state, thing), thing)


def firing_or_404(thing: str) -> Firing:
    return existing(firing(current_bench().state, thing), thing)


def jar_or_404(thing: str) -> Jar:
    return existing(jar(current_bench().state, thing), thing)


def swatch_or_404(thing: str) -> Swatch:
    return existing(swatch(current_bench().state, thing), thing)
