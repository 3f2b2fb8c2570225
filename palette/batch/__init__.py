"""Many walls, or many photos: each answered in a folder of its own, and all of them on one sheet."""

from palette.batch.brief_job import BriefJob
from palette.batch.finding import list_briefs, list_layouts, list_photos
from palette.batch.job import Job
from palette.batch.photo_job import PhotoJob
from palette.batch.result import JobResult, Shown, Weakest
from palette.batch.running import Batch, run_batch
from palette.batch.summary import batch_to_dict, save_batch
from palette.batch.telling import tell_states, tell_verdict, tell_weakest

__all__ = [
    "Batch",
    "BriefJob",
    "Job",
    "JobResult",
    "PhotoJob",
    "Shown",
    "Weakest",
    "batch_to_dict",
    "list_briefs",
    "list_layouts",
    "list_photos",
    "run_batch",
    "save_batch",
    "tell_states",
    "tell_verdict",
    "tell_weakest",
]
