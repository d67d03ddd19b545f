"""The list of jobs below a folder: from its cache it is many times as quick as from the benches."""

from __future__ import annotations

import os
import time
from pathlib import Path

from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.files.job_index import JobList, jobs_below
from taperlab.shipped import sample
from taperlab.shop.jobs.listing import Wanted, found
from taperlab.shop.steps import finish

BENCHES = 100


def test_a_folder_is_listed_from_its_cache_many_times_as_fast(
    benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    content = sample("jobs.taperlab").read_bytes()
    for number in range(BENCHES):
        path = tmp_path / "benches" / f"{number}.taperlab"
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
        os.utime(path, ns=(10**18, 10**18))
    index = tmp_path / "state" / "jobs.sqlite"

    def listed() -> JobList:
        return finish(jobs_below(tmp_path / "benches", index))

    begun = time.process_time()
    assert listed().read == BENCHES
    cold = time.process_time() - begun
    again = benchmark(listed)
    assert again.read == 0
    begun = time.process_time()
    listed()
    warm = time.process_time() - begun
    assert warm < cold / 8.0
    # What is looked for is found in a fraction of that.
    begun = time.process_time()
    assert len(found(again.jobs, Wanted(words="mill pool"))) == BENCHES
    assert time.process_time() - begun < warm
