"""`saggar import FILE`: jars or recipes from a table, looked at first."""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

SAYS = "take jars or recipes in from a CSV file, after a look at each row"
GROUP = "data"
OPTIONS = {
    "file": {"metavar": "FILE", "help": "the table, with a head"},
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--recipes": {"action": "store_true", "help": "the file holds recipes, one reagent a row (jars without it)"},
    "--column": {"metavar": "FIELD=HEAD", "action": "append", "help": "which column is a field, such as price=Cost"},
    "--take": {"action": "store_true", "help": "take in what is right; without it nothing is changed"},
}
MORE = """Fields of jars: reagent, formula, lot, assay_pct, net_g, price. Fields of recipes: recipe, reagent, g, target.
It ends with 0, or with 1 where a row cannot be taken in."""


def run(file: str, data: "str | None", recipes: bool, column: "list[str] | None", take: bool) -> int:
    """Show what comes of the rows, and take them in where that was asked."""
    import sys
    from pathlib import Path

    from bench.app import Clock
    from bench.exporting.cells import read_csv
    from bench.journal import Journal, Trouble
    from bench.reference import load_library, over
    from bench.science.refusal import Refusal
    from bench.screens.planning.bringing import READERS
    from bench.settings import Settings, default_data_folder, make_folders

    what = "recipes" if recipes else "jars"
    settings = Settings(data=Path(data) if data else default_data_folder())
    try:
        table = read_csv(_bytes(Path(file)))
        make_folders(settings)
        with Journal.open(settings.data, clock=Clock()) as journal:
            library = over(load_library(), journal.state.cards())
            found = READERS[what](_rows(table, column or [], what), journal.state, library)
            good = [one for one in found if one.data is not None]
            for one in found:
                print(f"{'  ' if one.data is not None else 'No'} row {one.rows[0]}: {one.name}. {one.say}".rstrip(" ."))
            if take and good:
                journal.write_all(_drafts(what, good, journal))
                print(f"{len(good)} taken in.")
            elif good:
                print(f"{len(good)} can be taken in: give --take.")
    except (Refusal, Trouble) as problem:
        print(problem.say, file=sys.stderr)
        return 1
    return 0 if len(good) == len(found) else 1


def _bytes(path: "Any") -> bytes:
    from bench.science.refusal import Refusal

    try:
        return bytes(path.read_bytes())
    except OSError as error:
        raise Refusal(f"{path} cannot be read: {error.strerror}.", "file") from error


def _rows(table: "list[list[str]]", column: "list[str]", what: str) -> "list[dict[str, str]]":
    """The rows by the names of fields, by the columns that were named, else as the head says."""
    from bench.exporting.columns import KINDS, guess, picked
    from bench.science.refusal import Refusal

    chosen = guess(table[0], KINDS[what])
    known = [field.name for field in KINDS[what]]
    for one in column:
        name, _sign, head = one.partition("=")
        if name not in known:
            raise Refusal(f"--column knows {', '.join(known)}; this was {name[:40]!r}.", "column")
        if head not in table[0]:
            raise Refusal(f"No column has the head {head[:40]!r}.", "column")
        chosen[name] = table[0].index(head)
    return picked(table, chosen, KINDS[what])


def _drafts(what: str, good: "list[Any]", journal: "Any") -> "list[Any]":
    """A record and a code for each."""
    import secrets

    from bench.journal import Draft
    from bench.records.record import BENCH
    from bench.science.codes import BODIES, new_codes

    kind = "batch.planned" if what == "recipes" else "jar.opened"
    codes = new_codes(len(good), lambda: secrets.randbelow(BODIES), journal.state.issued)
    drafts = []
    for one, code in zip(good, codes, strict=True):
        made = journal.new_id()
        drafts += [
            Draft(kind, None, one.data, id=made, how="import"),
            Draft("code.issued", BENCH, {"codes": [code]}, how="import"),
            Draft("code.assigned", made, {"code": code, "thing": made}, how="import"),
        ]
    return drafts
