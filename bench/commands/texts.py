"""`saggar texts FILE`: every text of the bench, for whoever translates it."""

SAYS = "write all texts of the bench into one file for a translator (.pot)"
GROUP = "develop"
OPTIONS = {"file": {"metavar": "FILE", "help": "the file to write, such as saggar.pot"}}
MORE = """Open the file in an editor of gettext catalogues, translate, and save it as
bench/locale/LANGUAGE/LC_MESSAGES/saggar.mo, where LANGUAGE is a code such as pl. The settings offer the language then.
What is not translated stays English. It ends with 0 when the file is written, 1 when it is not."""


def run(file: str) -> int:
    """Write the file and say how many texts it holds."""
    import sys
    from pathlib import Path

    from bench.web.texts import template, texts

    try:
        Path(file).write_text(template(), encoding="utf-8")
    except OSError as error:
        print(f"{file} cannot be written: {error.strerror}.", file=sys.stderr)
        return 1
    print(f"{len(texts())} texts are written to {file}.")
    return 0
