import os
import shutil
import signal

import distributed
import pytest
from marking_fakes import DOUBTFUL, FAULTY, RIGHT

from verifier.errors import UsageError
from verifier.marking import run as running

pytestmark = pytest.mark.filterwarnings("ignore")  # dask's own, on its way down


@pytest.fixture
def cluster():
    with distributed.LocalCluster(
        n_workers=3, threads_per_worker=1, processes=True, dashboard_address=None,
        memory_limit=0, silence_logs=50,
    ) as made:  # fmt: skip
        yield made


def test_a_cluster_gives_the_same_bytes_though_a_worker_is_killed(pile, cluster, monkeypatch):
    for number in range(24):
        text = (RIGHT, FAULTY, DOUBTFUL, "raise", "slow")[number % 5]
        pile(f"s{number}.txt", text + "\n" * number)
    pile("many/p1.txt", RIGHT)
    pile("many/p2.png", "so?go\n")
    pile("essay.docx", "x")
    pile.mark(workers=2)
    before = pile.outputs()
    shutil.rmtree(pile.results)

    before_row, rows = running.row_of, []

    def killing(outcome, scheme):
        rows.append(outcome.task.name)
        if len(rows) == 4:  # in the middle, whatever the speed
            worker = next(iter(cluster.workers.values()))
            os.kill(worker.process.pid, signal.SIGKILL)
        return before_row(outcome, scheme)

    monkeypatch.setattr(running, "row_of", killing)
    pile.mark(cluster=cluster.scheduler_address)
    assert pile.outputs() == before
    assert len(rows) == len(set(rows)) == 26


def test_a_script_that_ends_workers_is_one_row(pile, cluster):
    pile("a.txt", RIGHT)
    pile("crash.txt", "crash")
    pile.mark(cluster=cluster.scheduler_address)
    rows = {row["script"]: row for row in pile.csv()}
    assert rows["a.txt"]["total"] == "5"
    assert "several workers of the cluster ended on it" in rows["crash.txt"]["note"]


def test_no_cluster_at_an_address_is_told(pile, monkeypatch):
    pile("a.txt", RIGHT)
    monkeypatch.setattr("verifier.marking.cluster.PATIENCE", 0.5)
    with pytest.raises(UsageError, match="no cluster answers"):
        pile.mark(cluster="tcp://127.0.0.1:9")
