"""Best of n wall times of the planning call, in process.

    python time_it.py FILE [n]

The file is parsed into a dict beforehand. Prints milliseconds: the dict's text turned into
numbers, the plan without the room, the plan with it. One thread: matrices this small are faster so.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded

import sys
import time

import build_file
import plan_numpy

ROOM_RUNS = 3  # it takes seconds


def best_ms(call, runs):
    call()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return 1e3 * min(times)


def main(path, runs=50):
    file = build_file.parse(path)
    build = build_file.build(file)
    numbers = best_ms(lambda: build_file.build(file), runs)
    bare = best_ms(lambda: plan_numpy.plan(build, with_room=False), runs)
    room = best_ms(lambda: plan_numpy.plan(build), ROOM_RUNS)
    print(f"numbers from the dict {numbers:.3f} ms")
    print(f"plan without the room {bare:.3f} ms (best of {runs})")
    print(f"plan with the room {room:.1f} ms (best of {ROOM_RUNS})")


if __name__ == "__main__":
    main(sys.argv[1], *map(int, sys.argv[2:3]))
