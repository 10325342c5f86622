"""Futures on a cluster: a real one within this process, without any outside network; and every way in which it may be away."""

from __future__ import annotations

import socket
import sys
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from typing import Any

import pytest
from bench.shared.shops import a_shop
from distributed import LocalCluster

from tallboy.drawers.today.sure import futures
from tallboy.drawers.today.sure.futures import chances_of
from tallboy.planner.chance.told import Chances
from tallboy.planner.network import Plan, Problem
from tallboy.planner.solve import first_plan

Asked = tuple[Problem, Plan]


@pytest.fixture(scope="module")
def asked() -> Asked:
    """A small shop with spreads, and its plan."""
    shop = a_shop(3, pieces=2, steps=6)
    unsure = replace(shop, steps=tuple(replace(step, spread=step.minutes * 0.3) for step in shop.steps))
    return unsure, first_plan(unsure)


@pytest.fixture(scope="module")
def cluster() -> Iterator[LocalCluster]:
    """A scheduler and two workers in this process, reached by TCP on this machine only."""
    with LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=False,
        dashboard_address="127.0.0.1:0",
        host="127.0.0.1",
        protocol="tcp",
    ) as running:
        yield running


@pytest.fixture
def closed_port() -> int:
    """A port on this machine on which nobody listens."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def numbers(told: Chances) -> list[object]:
    """Everything that may not differ from one machine to another."""
    finishes = [piece.finish.minutes.tolist() for piece in told.pieces.values()]
    drivers = [piece.drivers for piece in told.pieces.values()]
    return [told.promises, told.steps, told.windows, finishes, drivers]


def watched(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The addresses at which a cluster really was set to work, from here on."""
    found: list[str] = []
    real = futures._worked

    def worked(address: str, *rest: Any) -> Any:
        samples = real(address, *rest)
        found.append(address)
        return samples

    monkeypatch.setattr(futures, "_worked", worked)
    return found


def test_without_a_cluster_this_machine_does_the_work(asked: Asked, settings: Any) -> None:
    """With the setting empty nothing is told, and the library for clusters is not asked for."""
    settings.CLUSTER = ""
    told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert trouble == ""


def test_a_cluster_gives_the_same_numbers(
    asked: Asked, settings: Any, cluster: LocalCluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same seed gives the same numbers on the cluster as here, and they do come from the cluster."""
    settings.CLUSTER = ""
    here, _none = chances_of(*asked, futures=2500, seed=4)
    settings.CLUSTER = cluster.scheduler_address
    asked_for = watched(monkeypatch)
    there, trouble = chances_of(*asked, futures=2500, seed=4)
    assert (trouble, asked_for) == ("", [cluster.scheduler_address])
    assert numbers(here) == numbers(there)


def test_a_closed_port_is_told_and_the_work_done_here(asked: Asked, settings: Any, closed_port: int) -> None:
    """Nobody listens at the address: a plain sentence, and the same answer."""
    settings.CLUSTER = f"tcp://127.0.0.1:{closed_port}"
    told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert trouble.startswith(f"The cluster at tcp://127.0.0.1:{closed_port} cannot be reached")
    assert trouble.endswith("worked out on this machine instead.")


@pytest.mark.parametrize(
    "address", ["bench", "tcp://", "http://127.0.0.1:80", "tcp://127.0.0.1", "tcp://127.0.0.1:port"]
)
def test_a_wrong_address_is_told_and_the_work_done_here(asked: Asked, settings: Any, address: str) -> None:
    """An address of another kind is named together with the setting."""
    settings.CLUSTER = address
    told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert "TALLBOY_CLUSTER" in trouble
    assert "tcp://host:8786" in trouble


def test_a_missing_library_is_told(
    asked: Asked, settings: Any, cluster: LocalCluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the library the sentence says how to get it."""
    settings.CLUSTER = cluster.scheduler_address
    monkeypatch.setitem(sys.modules, "distributed", None)
    told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert "tallboy[cluster]" in trouble


def test_a_cluster_without_workers_is_told(asked: Asked, settings: Any) -> None:
    """A scheduler alone would never answer; nobody waits for it."""
    with LocalCluster(
        n_workers=0, processes=False, dashboard_address="127.0.0.1:0", host="127.0.0.1", protocol="tcp"
    ) as idle:
        settings.CLUSTER = idle.scheduler_address
        told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert "has no workers" in trouble


def test_a_worker_that_fails_is_told(
    asked: Asked, settings: Any, cluster: LocalCluster, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What goes wrong on the cluster costs nothing: the answer is worked out here."""
    settings.CLUSTER = cluster.scheduler_address
    real = futures._worked

    def broken(address: str, work: Any, course: Any, chunks: Any) -> Any:
        return real(address, _fails, course, chunks)

    monkeypatch.setattr(futures, "_worked", broken)
    told, trouble = chances_of(*asked, futures=500)
    assert told.futures == 500
    assert "gave no answer: ValueError: no such bench" in trouble


def _fails(course: Any, chunk: Any) -> Any:
    raise ValueError("no such bench")
