"""Stop-watch and query counter of the speed figures."""

from contextlib import contextmanager
from statistics import median
from time import perf_counter

from django.db import connection
from django.test.utils import CaptureQueriesContext

FRAME = ("BEGIN", "COMMIT", "SAVEPOINT", "RELEASE", "ROLLBACK")


def milliseconds(job, rounds=1):
    """Median time of *job* over *rounds*, in milliseconds."""
    times = []
    for _ in range(rounds):
        start = perf_counter()
        job()
        times.append((perf_counter() - start) * 1000)
    return median(times)


@contextmanager
def counted():
    """A list that holds the statements run inside, those that frame a transaction left out."""
    found = []
    with CaptureQueriesContext(connection) as captured:
        yield found
    found.extend(q["sql"] for q in captured.captured_queries if not q["sql"].startswith(FRAME))


def tell(*words):
    """One line of figures, whatever pytest captures."""
    print(f"[{connection.vendor}]", *words, flush=True)
