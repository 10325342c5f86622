"""Where the futures of a plan are worked out: on this machine, or on the cluster that the settings name.

The numbers are the same on both. Whatever goes wrong with the cluster is told in a plain sentence, and this machine does the work.
The library for it is loaded only when a cluster is named (`pip install tallboy[cluster]`).
"""

from __future__ import annotations

import importlib
import socket
from collections.abc import Callable, Iterable
from contextlib import closing
from urllib.parse import urlsplit

from django.conf import settings
from django.utils.translation import gettext as _

from tallboy.errors import TallboyError
from tallboy.planner.chance.chances import chances
from tallboy.planner.chance.parts import Course
from tallboy.planner.chance.told import Chances
from tallboy.planner.chance.walk import Chunk, Sample
from tallboy.planner.network import Plan, Problem

FUTURES = 10_000
SEED = 1
CONNECT_SECONDS = 2.0
WORK_SECONDS = 60.0

Work = Callable[[Course, Chunk], Sample]


def chances_of(problem: Problem, plan: Plan, *, futures: int = FUTURES, seed: int = SEED) -> tuple[Chances, str]:
    """How sure the dates are, and a sentence about a cluster that could not be used ("" when there is nothing to tell)."""
    address = settings.CLUSTER
    if not address:
        return chances(problem, plan, futures=futures, seed=seed), ""
    try:
        return chances(problem, plan, futures=futures, seed=seed, each=on_cluster(address)), ""
    except NoCluster as error:
        return chances(problem, plan, futures=futures, seed=seed), str(error)


class NoCluster(TallboyError):
    """The cluster cannot be used; the message says why, the hint what is done instead."""

    def __init__(self, why: str) -> None:
        super().__init__(why, _("How sure the dates are was worked out on this machine instead."))


def on_cluster(address: str) -> Callable[[Work, Course, list[Chunk]], Iterable[Sample]]:
    """A way to work out all chunks on the workers of a cluster. It raises NoCluster when that cannot be done."""

    def each(work: Work, course: Course, chunks: list[Chunk]) -> Iterable[Sample]:
        _reachable(address)
        return _worked(address, work, course, chunks)

    return each


def _reachable(address: str) -> None:
    """Whether anybody listens at the address at all: a closed port is told at once."""
    host, port = _host_and_port(address)
    try:
        with closing(socket.create_connection((host, port), timeout=CONNECT_SECONDS)):
            pass
    except OSError as error:
        why = error.strerror or str(error)
        raise NoCluster(
            _("The cluster at %(address)s cannot be reached: %(why)s.") % {"address": address, "why": why}
        ) from None


def _host_and_port(address: str) -> tuple[str, int]:
    parts = urlsplit(address)
    try:
        port = parts.port
    except ValueError:
        port = None
    if parts.scheme not in ("tcp", "tls") or not parts.hostname or port is None:
        raise NoCluster(
            _("The setting TALLBOY_CLUSTER is “%(address)s”, which is no address like tcp://host:8786.")
            % {"address": address}
        )
    return parts.hostname, port


def _worked(address: str, work: Work, course: Course, chunks: list[Chunk]) -> list[Sample]:
    """The chunks worked out by the cluster's workers, in their order."""
    try:
        distributed = importlib.import_module("distributed")
    except ImportError:
        raise NoCluster(_("The library for clusters is not installed (pip install tallboy[cluster]).")) from None
    try:
        with distributed.Client(address, timeout=CONNECT_SECONDS, set_as_default=False) as client:
            if not client.scheduler_info()["workers"]:
                raise NoCluster(_("The cluster at %(address)s has no workers.") % {"address": address})
            shared = client.scatter(course, broadcast=True)
            promised = client.map(work, [shared] * len(chunks), chunks, pure=False)
            return [one.result(timeout=WORK_SECONDS) for one in promised]
    except TallboyError:
        raise
    except Exception as error:
        # Whatever a cluster somewhere else may do wrong (another version, a worker that died), the shop gets its answer.
        raise NoCluster(
            _("The cluster at %(address)s gave no answer: %(why)s.")
            % {"address": address, "why": f"{type(error).__name__}: {error}".splitlines()[0].rstrip(".")}
        ) from error
