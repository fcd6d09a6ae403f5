"""TinyDB over the one append-only file: a table that takes inserts and nothing else."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any, NoReturn

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from bench.journal.lines import TABLE, encode
from bench.journal.storage import AppendStorage, Entry
from bench.journal.trouble import AppendOnly


class _Additions(dict[str, Any]):
    """What TinyDB's updaters see: which keys are taken, and a place for new ones; nothing to change or remove."""

    def __init__(self, storage: AppendStorage) -> None:
        super().__init__()
        self._storage = storage

    def __contains__(self, key: object) -> bool:
        return super().__contains__(key) or self._storage.has(str(key))

    def _refuse(self, *_: Any, **__: Any) -> NoReturn:
        raise AppendOnly("records are only ever appended")

    __getitem__ = __delitem__ = pop = popitem = clear = update = setdefault = keys = _refuse


class RecordTable(Table):
    """The table `records`: inserts only, keys given by the caller."""

    document_id_class = str  # type: ignore[assignment]

    def __init__(self, storage: Storage, name: str, cache_size: int = 0, persist_empty: bool = False) -> None:
        # TinyDB's cache of queries is not safe under threads, so it is never used.
        if name != TABLE:
            raise AppendOnly(f"this file holds one table, {TABLE}")
        super().__init__(storage, name, cache_size=0)

    def _get_next_id(self) -> NoReturn:
        raise ValueError("insert a Document with the record's id as its doc_id")

    def _update_table(self, updater: Callable[[Any], None]) -> None:
        storage = self._storage
        assert isinstance(storage, AppendStorage)
        with storage.pen:
            additions = _Additions(storage)
            updater(additions)
            entries = [Entry(key, encode(key, doc)) for key, doc in dict.items(additions)]
            batch = storage.queue(entries)
        storage.wait(batch)


class RecordBase(TinyDB):
    """TinyDB with the append-only storage and table: `RecordBase(path)`."""

    default_storage_class = AppendStorage  # type: ignore[assignment]
    table_class = RecordTable
    default_table_name = TABLE

    @property
    def file(self) -> AppendStorage:
        storage = self.storage
        assert isinstance(storage, AppendStorage)
        return storage

    def close(self) -> None:
        with suppress(OSError):
            super().close()
