"""Jobs and their designs: every edit is a row, so nothing that was drawn is ever lost."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Engine, bindparam, delete, func, insert, select, update

from seamwright.errors import Fault
from seamwright.store.opening import StoreError, engine_for, migrate, now
from seamwright.store.racking import RackKeeping
from seamwright.store.tables import EDIT, JOB, SHOP


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A job as it stands.

    Attributes:
        id: its name in addresses.
        title: the user's name for it.
        design: the design file as it stands.
        made_at, changed_at: when, in UTC.
        archived: put away.
        at_edit: number of the edit shown, from 1.
        edits: how many there are; those after ``at_edit`` can be redone.
    """

    id: str
    title: str
    design: str
    made_at: datetime
    changed_at: datetime
    archived: bool
    at_edit: int
    edits: int

    @property
    def can_undo(self) -> bool:
        """Whether there is an earlier edit."""
        return self.at_edit > 1

    @property
    def can_redo(self) -> bool:
        """Whether there is a later edit."""
        return self.at_edit < self.edits


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One saved state of a design.

    Attributes:
        number: from 1.
        said: what was done.
        title: the title in the design.
        design: the design file after it.
        made_at: when, in UTC.
    """

    number: int
    said: str
    title: str
    design: str
    made_at: datetime


class Store:
    """Everything a shop keeps, in one database."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.boards = RackKeeping(engine)

    @classmethod
    def open(cls, url: str) -> Store:
        """Open a store and bring its tables up to date.

        Raises:
            StoreError: it cannot be opened.
        """
        engine = engine_for(url)
        migrate(engine)
        return cls(engine)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def jobs(self, *, archived: bool | None = False) -> tuple[Job, ...]:
        """Jobs, last changed first; None gives those put away as well."""
        query = select(JOB.c.id).order_by(JOB.c.changed_at.desc(), JOB.c.id)
        if archived is not None:
            query = query.where(JOB.c.archived == archived)
        with self.engine.connect() as connection:
            return tuple(_job(connection, str(id)) for id in connection.scalars(query))

    def job(self, id: str) -> Job:
        """One job.

        Raises:
            StoreError: there is none of that name.
        """
        with self.engine.connect() as connection:
            return _job(connection, id)

    def history(self, id: str) -> tuple[Edit, ...]:
        """Every edit of a job, oldest first."""
        query = select(EDIT).where(EDIT.c.job_id == id).order_by(EDIT.c.number)
        with self.engine.connect() as connection:
            rows = connection.execute(query).mappings().all()
        return tuple(
            Edit(
                number=r["number"],
                said=r["said"],
                title=r["title"],
                design=r["design"],
                made_at=_utc(r["made_at"]),
            )
            for r in rows
        )

    def said(self, id: str, numbers: Sequence[int]) -> dict[int, str]:
        """What edits of a job did, by their numbers; quick however large the designs are."""
        with self.engine.connect() as connection:
            found = connection.execute(_SAID, {"job": id, "numbers": numbers})
            return {int(number): str(said) for number, said in found}

    def add(self, *, title: str, design: str, said: str) -> Job:
        """Start a job."""
        edit = Edit(number=1, said=said, title=title, design=design, made_at=now())
        return self.put(edits=(edit,), at_edit=1)

    def put(self, *, edits: tuple[Edit, ...], at_edit: int, archived: bool = False) -> Job:
        """A job with its whole history, as it comes from a file."""
        id = secrets.token_hex(8)
        with self.engine.begin() as connection:
            _insert(connection, id, edits, at_edit, archived)
            return _job(connection, id)

    def save(self, id: str, *, title: str, design: str, said: str, after: int) -> Job:
        """Keep an edit; edits that were undone before it are gone.

        Args:
            id: the job.
            title: the title in the new design.
            design: the design file after the edit.
            said: what was done.
            after: number of the edit it was made on.
        Raises:
            StoreError: no such job, or it was changed elsewhere meanwhile.
        """
        edit = Edit(number=after + 1, said=said, title=title, design=design, made_at=now())
        with self.engine.begin() as connection:
            begun_at, archived = _move(
                connection, id, to=edit.number, expected=after, at=edit.made_at
            )
            connection.execute(_DROP_LATER, {"job": id, "after": after})
            connection.execute(insert(EDIT), _row(id, edit))
        return Job(
            id=id,
            title=title,
            design=design,
            made_at=begun_at,
            changed_at=edit.made_at,
            archived=archived,
            at_edit=edit.number,
            edits=edit.number,
        )

    def undo(self, id: str) -> Job:
        """Back by one edit; nothing happens at the first."""
        return self._step(id, -1)

    def redo(self, id: str) -> Job:
        """Forward by one edit; nothing happens at the last."""
        return self._step(id, 1)

    def put_away(self, id: str, *, archived: bool) -> None:
        """Put a job away, or take it out again."""
        with self.engine.begin() as connection:
            _job(connection, id)
            connection.execute(update(JOB).where(JOB.c.id == id).values(archived=archived))

    def duplicate(self, id: str, *, title: str, design: str) -> Job:
        """A new job that starts with this design."""
        original = self.job(id)
        return self.add(title=title, design=design, said=f"Copied from {original.title}")

    def shop_profile(self) -> str:
        """The shop file; empty where everything is as by default."""
        with self.engine.connect() as connection:
            return connection.scalar(select(SHOP.c.profile).where(SHOP.c.id == 1)) or ""

    def save_shop_profile(self, text: str) -> None:
        """Keep the shop file."""
        with self.engine.begin() as connection:
            connection.execute(delete(SHOP))
            connection.execute(insert(SHOP).values(id=1, profile=text, changed_at=now()))

    def empty(self) -> bool:
        """Whether no job was ever kept here."""
        with self.engine.connect() as connection:
            return not connection.scalar(select(func.count()).select_from(JOB))

    def _step(self, id: str, by: int) -> Job:
        with self.engine.begin() as connection:
            job = _job(connection, id)
            to = job.at_edit + by
            if 1 <= to <= job.edits:
                _move(connection, id, to=to, expected=job.at_edit, at=now())
            return _job(connection, id)


_EVERY = EDIT.alias()
_EDITS = select(func.count(_EVERY.c.number)).where(_EVERY.c.job_id == JOB.c.id).scalar_subquery()
_AS_IT_STANDS = (
    select(JOB, EDIT.c.title, EDIT.c.design, _EDITS.label("edits"))
    .join(EDIT, (EDIT.c.job_id == JOB.c.id) & (EDIT.c.number == JOB.c.at_edit))
    .where(JOB.c.id == bindparam("job"))
)
_SAID = (
    select(EDIT.c.number, EDIT.c.said)
    .where(EDIT.c.job_id == bindparam("job"))
    .where(EDIT.c.number.in_(bindparam("numbers", expanding=True)))
)
_DROP_LATER = (
    delete(EDIT).where(EDIT.c.job_id == bindparam("job")).where(EDIT.c.number > bindparam("after"))
)
"""Built once: every edit asks them, and building takes longer than asking."""


def _job(connection: Connection, id: str) -> Job:
    found = connection.execute(_AS_IT_STANDS, {"job": id})
    row: Mapping[Any, Any] | None = found.mappings().one_or_none()
    if row is None:
        raise StoreError(Fault("K103", "the job", "is not here", "go back to the shelf"))
    return Job(
        id=row["id"],
        title=row["title"],
        design=row["design"],
        made_at=_utc(row["made_at"]),
        changed_at=_utc(row["changed_at"]),
        archived=row["archived"],
        at_edit=row["at_edit"],
        edits=row["edits"],
    )


def _insert(
    connection: Connection, id: str, edits: tuple[Edit, ...], at_edit: int, archived: bool
) -> None:
    values = {"id": id, "archived": archived, "at_edit": at_edit}
    connection.execute(insert(JOB).values(**values, made_at=edits[0].made_at, changed_at=now()))
    rows = [_row(id, replace(edit, number=place)) for place, edit in enumerate(edits, start=1)]
    connection.execute(insert(EDIT), rows)


def _row(id: str, edit: Edit) -> dict[str, object]:
    return {
        "job_id": id,
        "number": edit.number,
        "said": edit.said,
        "title": edit.title,
        "design": edit.design,
        "made_at": edit.made_at,
    }


def _move(
    connection: Connection, id: str, *, to: int, expected: int, at: datetime
) -> tuple[datetime, bool]:
    """Point a job at another edit, if nobody else moved it meanwhile; when it began, and whether
    it is put away."""
    moved = connection.execute(
        update(JOB)
        .where(JOB.c.id == id)
        .where(JOB.c.at_edit == expected)
        .values(at_edit=to, changed_at=at)
        .returning(JOB.c.made_at, JOB.c.archived)
    ).one_or_none()
    if moved is None:
        _job(connection, id)
        raise StoreError(
            Fault("K104", "the drawing", "was changed in another window", "look at it afresh")
        )
    return _utc(moved.made_at), bool(moved.archived)


def _utc(moment: datetime) -> datetime:
    """SQLite forgets the zone; everything kept is UTC."""
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment
