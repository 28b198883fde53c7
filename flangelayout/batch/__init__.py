"""Many jobs at once: from files, folders and lists to packets on all cores, redoing only what changed."""

from flangelayout.batch.meant import ListReading
from flangelayout.batch.pool import Failure, begin_loading, failure_of, usable_cores
from flangelayout.batch.run import Done, Request, Target, draw_all, fingerprint
from flangelayout.batch.sources import JobSource, is_one_file, job_sources, load_source

__all__ = [
    "Done",
    "Failure",
    "JobSource",
    "ListReading",
    "Request",
    "Target",
    "begin_loading",
    "draw_all",
    "failure_of",
    "fingerprint",
    "is_one_file",
    "job_sources",
    "load_source",
    "usable_cores",
]
