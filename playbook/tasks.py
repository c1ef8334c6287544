"""Background work that belongs to no capability: jobs of a dead worker, and what a night is for."""

from procrastinate import JobContext
from procrastinate.contrib.django import app

from playbook.backups import nightly
from playbook.people import retention

JOBS_FOR_H = 30 * 24


@app.periodic(cron="* * * * *")
@app.task(queueing_lock="retry_stalled_jobs", pass_context=True, name="retry_stalled_jobs")
async def retry_stalled_jobs(context: JobContext, timestamp: int) -> None:
    """Puts back every job whose worker has given no sign of life for half a minute."""
    manager = context.app.job_manager
    for job in await manager.get_stalled_jobs(seconds_since_heartbeat=30):
        await manager.retry_job(job)


@app.periodic(cron="40 3 * * *")
@app.task(queueing_lock="forget_old", name="forget_old")
def forget_old(timestamp: int) -> None:
    """Forgets what the staff no longer keeps."""
    retention.forget_old()


@app.periodic(cron="50 3 * * *")
@app.task(queueing_lock="forget_jobs", pass_context=True, name="forget_jobs")
async def forget_jobs(context: JobContext, timestamp: int) -> None:
    """Forgets jobs that ended a month ago."""
    await context.app.job_manager.delete_old_jobs(
        nb_hours=JOBS_FOR_H, include_failed=True, include_cancelled=True, include_aborted=True
    )


@app.periodic(cron="20 2 * * *")
@app.task(queueing_lock=nightly.TASK, name=nightly.TASK)
def back_up_nightly(timestamp: int) -> None:
    """Makes the backup of the night; one that fails is a failed job, and the start page says that it is missing."""
    nightly.back_up()
