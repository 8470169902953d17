"""Kept: jobs with every edit, the shop's profile; in SQLite, or PostgreSQL by address.

>>> store = Store.open("sqlite://")
>>> job = store.add(title="Tray", design="one", said="Started")
>>> job = store.save(job.id, title="Tray", design="two", said="Drew a seam", after=job.at_edit)
>>> store.undo(job.id).design, store.redo(job.id).design
('one', 'two')
>>> store.close()
"""

from seamwright.store.blocks import drop_block, keep_block, own_blocks
from seamwright.store.carrying import backup, export_job, import_job, restore
from seamwright.store.choosing import choose_way, chosen_way
from seamwright.store.keeping import Edit, Job, Store
from seamwright.store.measuring import keep_measured, measured_record, measured_records
from seamwright.store.opening import StoreError, engine_for, migrate

__all__ = [
    "Edit",
    "Job",
    "Store",
    "StoreError",
    "backup",
    "choose_way",
    "chosen_way",
    "drop_block",
    "engine_for",
    "export_job",
    "import_job",
    "keep_block",
    "keep_measured",
    "measured_record",
    "measured_records",
    "migrate",
    "own_blocks",
    "restore",
]
