"""What a maker takes along: tables, the whole as JSON with its schema, one batch as a crate; and what they bring in.

A table is one function in `summaries.py` that gives a `Table`; it is then in the archive, on the screen and in
`saggar export`, and a test reads it back.
"""
