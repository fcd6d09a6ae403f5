"""`saggar export FILE`: everything as one archive, to take along."""

SAYS = "write everything into one archive of tables (CSV) and JSON"
GROUP = "data"
OPTIONS = {
    "file": {"metavar": "FILE", "help": "the archive to write, such as saggar.zip"},
    "--data": {"metavar": "DIR", "help": "the folder of the data (your own application data without it)"},
    "--batch": {"metavar": "CODE", "help": "one batch alone with its photos and files, as a research crate (RO-Crate)"},
    "--no-photos": {"action": "store_true", "help": "leave the pictures and attached files out"},
}
MORE = """The archive holds one table for each kind of thing and of record, all records as JSON with its schema, and
a small program that reads it. Nothing is changed. While the bench is open, use its page *Take along* instead. It ends
with 0 when the file is written, 1 when it is not."""


def run(file: str, data: str | None, batch: str | None, no_photos: bool) -> int:
    """Write the archive and say what is in it."""
    import sys
    from pathlib import Path

    from bench import clock
    from bench.app import Clock
    from bench.exporting.to_file import write_crate, write_everything
    from bench.journal import Journal, Trouble
    from bench.launching.words import version
    from bench.records.moments import utc_text
    from bench.reference import load_library, over
    from bench.science.refusal import Refusal
    from bench.settings import Settings, default_data_folder

    settings = Settings(data=Path(data) if data else default_data_folder())
    made = utc_text(clock.now_ms())
    try:
        if not settings.file.is_file():
            raise Refusal(f"There is no data in {settings.data}. Name its folder with --data.", "data")
        with Journal.open(settings.data, clock=Clock()) as journal:
            if batch:
                name = write_crate(journal, settings.photos, batch, made, version(), Path(file))
                print(f"{name} is written to {file}.")
            else:
                library = over(load_library(), journal.state.cards())
                photos = None if no_photos else settings.photos
                count = write_everything(journal, library, made, f"Saggar {version()}", photos, Path(file))
                print(f"{count} records are written to {file}.")
    except (Refusal, Trouble) as problem:
        print(problem.say, file=sys.stderr)
        return 1
    return 0
