"""A walk in the real window before an invented maker: delays from the end of a blow, cost, losses, memory."""
from __future__ import annotations

import os
import statistics
from dataclasses import dataclass
from queue import Empty

from tests.bench.window.maker import BlowEnd, Breath
from tests.bench.window.program import Told, WatchedProgram, process_cpu_s

MATCH_S = 2.0  # a blow read later than this after its end was not read
TARGET_MS = 150.0


@dataclass(frozen=True)
class Answer:
    """One blow's way: from its end to the moment its view was painted, step by step, all in milliseconds."""

    end_to_block: float  # the block that decided it had come to the listener
    reading: float
    to_window: float  # queued into the window's thread, journal written, model fitted
    painting: float
    handed_to_painted: float
    sounded_to_painted: float
    usable: bool
    records: int


@dataclass(frozen=True)
class Sample:
    """Cost as the system counts it, at one moment."""

    at_s: float
    cpu_s: float
    main_cpu_s: float  # of it the window's own thread
    screen_cpu_s: float
    resident_mb: float
    blocks: int
    frames: int
    lost_frames: int


def sample(program: WatchedProgram, screen_pid: int) -> Sample:
    """Taken when the program has just counted its blocks."""
    count = len(program.told("sound"))
    sound = program.wait_for_next("sound", count)
    return Sample(
        sound["t_s"], program.cpu_s(), program.main_cpu_s(), process_cpu_s(screen_pid), program.resident_mb(),
        sound["blocks"], sound["frames"], sound["lost_frames"],
    )


def gather_ends(breath: Breath) -> list[BlowEnd]:
    ends = []
    while True:
        try:
            ends.append(breath.ends.get_nowait())
        except Empty:
            return ends


def answers(ends: list[BlowEnd], told: list[Told]) -> tuple[list[Answer], int, int]:
    """The way of each blow; how many were never read; how many were read and changed nothing on the screen."""
    found, unread, unseen = [], 0, 0
    reads = [each for each in told if each["what"] == "read"]
    for end in ends:
        read = next((r for r in reads if end.handed_s - 0.3 < r["t_s"] < end.handed_s + MATCH_S), None)
        if read is None:
            unread += 1
            continue
        reads.remove(read)
        taken = _next(told, "taken", read["t_s"])
        painted = taken and _next(told, "painted", taken["t_s"])
        if taken is None or painted is None or painted["t_s"] > end.handed_s + MATCH_S:
            unseen += 1
            continue
        steps_s = (end.handed_s, read["block_s"], read["t_s"], taken["t_s"], painted["t_s"])
        steps_ms = [1000.0 * (b - a) for a, b in zip(steps_s, steps_s[1:], strict=False)]
        found.append(Answer(*steps_ms, 1000.0 * (painted["t_s"] - end.handed_s),
                            1000.0 * (painted["t_s"] - end.sounded_s), read["usable"], taken["records"]))
    return found, unread, unseen


def _next(told: list[Told], what: str, after_s: float) -> Told | None:
    return next((each for each in told if each["what"] == what and each["t_s"] >= after_s), None)


def print_answers(found: list[Answer], unread: int, unseen: int) -> None:
    n = len(found) + unread + unseen
    print(f"\nend of blow (20 dB down at the source) to its view painted: {n} blows, {len(found)} answered "
          f"({sum(a.usable for a in found)} usable), {unread} never read, {unseen} changed nothing on the screen")
    if not found:
        return
    print("  ms                                            median    95 %   worst")
    for name, words in (
        ("sounded_to_painted", "from its sounding, by the server's account"),
        ("handed_to_painted", "from handing it to the server, queue and all"),
        ("end_to_block", "  of this: handed over to the deciding block"),
        ("reading", "  of this: reading the blow"),
        ("to_window", "  of this: window's thread, journal, model"),
        ("painting", "  of this: painting"),
    ):
        values = sorted(getattr(answer, name) for answer in found)
        print(f"  {words:45}{statistics.median(values):7.0f} {percentile(values, 95):7.0f} {values[-1]:7.0f}")
    share = sum(a.sounded_to_painted <= TARGET_MS for a in found) / n
    print(f"  within {TARGET_MS:.0f} ms: {share:.1%} of all blows; {found[-1].records} records at the end; "
          f"load of the machine {os.getloadavg()[1]:.1f}")


def percentile(ordered: list[float], percent: int) -> float:
    """The smallest value that at least so many percent do not exceed."""
    return ordered[max(0, -(-len(ordered) * percent // 100) - 1)]


def print_cost(samples: list[Sample]) -> None:
    first, last = samples[0], samples[-1]
    took_s = last.at_s - first.at_s
    frames, lost = last.frames - first.frames, last.lost_frames - first.lost_frames
    most = max(s.resident_mb for s in samples)
    settled_mb, end_mb = _minute_mb(samples, first.at_s + 60.0), _minute_mb(samples, last.at_s - 60.0)
    print(f"\nlistening with the window drawing, {took_s / 60.0:.1f} min")
    print(f"  share of one core   {(last.cpu_s - first.cpu_s) / took_s:.1%} the program, of it "
          f"{(last.main_cpu_s - first.main_cpu_s) / took_s:.1%} the window's thread; beside it "
          f"{(last.screen_cpu_s - first.screen_cpu_s) / took_s:.1%} the X server without hardware")
    print(f"  callbacks           {last.blocks - first.blocks}; frames {frames}, {frames / took_s:.1f} a second")
    print(f"  frames lost         {lost}")
    print(f"  memory              {settled_mb:.1f} MB in the second minute, {end_mb:.1f} MB in the last "
          f"({end_mb / settled_mb - 1.0:+.1%}), most {most:.1f} MB")
    print(f"  load of the machine {os.getloadavg()[2]:.1f}", flush=True)


def _minute_mb(samples: list[Sample], from_s: float) -> float:
    """The middle of a minute: while a blow is read a few megabytes come and go."""
    minute = [s.resident_mb for s in samples if from_s <= s.at_s <= from_s + 60.0]
    return statistics.median(minute or [samples[-1].resident_mb])


def print_row(first: Sample, before: Sample, now: Sample, n_blows: int) -> None:
    share = (now.cpu_s - before.cpu_s) / (now.at_s - before.at_s)
    print(f"  after {(now.at_s - first.at_s) / 60.0:3.0f} min: {now.resident_mb:.1f} MB, {share:.1%} of one core "
          f"since the row before, {now.lost_frames - first.lost_frames} frames lost, {n_blows} blows", flush=True)


def print_halves(found: list[Answer]) -> None:
    """Whether answers become slower as the journal grows."""
    half = len(found) // 2
    if half < 10:
        return
    medians = [statistics.median(a.sounded_to_painted for a in part) for part in (found[:half], found[half:])]
    print(f"  end of blow to painted: median {medians[0]:.0f} ms in the first half of the blows, "
          f"{medians[1]:.0f} ms in the second")
