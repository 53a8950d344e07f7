"""A job done on one file, or on every file of a folder."""

import os
from pathlib import Path

import click

from windows.cli.output import MOST_WORKERS, Job, Target, emit


def answer(job: Job, file: Path, target: Target, *, folder_to_screen: bool = False) -> None:
    """Do the job on a file, or on every file of a folder with a result file each.

    Args:
        job: what to do.
        file: a station file, or a folder of them.
        target: where results go.
        folder_to_screen: results of a folder may go to the screen, one after another.

    Raises:
        click.UsageError: a folder without a folder for its results, or --workers for a single file.
        EbblightError: the input is wrong, or the result can't be written.
    """
    if not os.path.isdir(file):
        if target.workers is not None:
            raise click.UsageError(f"--workers is for a folder of files, which '{file}' is not")
        made = job.single(file)
        for remark in made.remarks:
            click.echo(remark, err=True)
        emit(made.data, target.output)
        return
    from windows.cli.many import write_results

    if target.output is None and not folder_to_screen:
        raise click.UsageError(f"'{file}' is a folder: name a folder for the results with -o")
    write_results(job, file, target.output, target.workers, _processors())


def _processors() -> int:
    """Those this process may use, where the system says."""
    allowed = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(allowed, MOST_WORKERS)
