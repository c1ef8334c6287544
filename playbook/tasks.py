"""Background work that belongs to no capability: jobs of a dead worker are done again."""

from procrastinate import JobContext
from procrastinate.contrib.django import app


@app.periodic(cron="* * * * *")
@app.task(queueing_lock="retry_stalled_jobs", pass_context=True, name="retry_stalled_jobs")
async def retry_stalled_jobs(context: JobContext, timestamp: int) -> None:
    """Puts back every job whose worker has given no sign of life for half a minute."""
    manager = context.app.job_manager
    for job in await manager.get_stalled_jobs(seconds_since_heartbeat=30):
        await manager.retry_job(job)
