"""Long work: each job in a process of its own, with progress, a stop, checkpoints and a result that is kept."""

from polewright.workshop.jobs.alone import LoneJob
from polewright.workshop.jobs.job import Job, JobProgress
from polewright.workshop.jobs.jobs import Jobs
from polewright.workshop.jobs.kinds import KINDS, Kind
from polewright.workshop.jobs.order import Order
from polewright.workshop.jobs.process import End, JobProcess

__all__ = ["KINDS", "End", "Job", "JobProcess", "JobProgress", "Jobs", "Kind", "LoneJob", "Order"]
