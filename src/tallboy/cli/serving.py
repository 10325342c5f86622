"""Serving the book's pages on this machine."""

from __future__ import annotations

import socket
import threading
import webbrowser

from tallboy.errors import BookTrouble

THREADS = 6


def serve(port: int, browse: bool) -> int:
    """Serve on 127.0.0.1 until interrupted. Raises BookTrouble when the port is taken."""
    from waitress.server import create_server

    from tallboy.web.wsgi import application

    address = f"http://127.0.0.1:{port}/"
    try:
        server = create_server(application, host="127.0.0.1", port=port, threads=THREADS, ident="tallboy")
    except OSError as error:
        raise BookTrouble(
            f"Port {port} on this machine cannot be used: {error.strerror}.",
            "Another program listens there, perhaps a second tallboy. Name another with --port.",
        ) from None
    print(f"The book is open at {address}  (Ctrl+C closes it)", flush=True)
    if browse:
        threading.Timer(0.5, webbrowser.open, [address]).start()
    try:
        server.run()
    finally:
        server.close()
    return 0


def free_port(wanted: int) -> int:
    """The wanted port when it is free, else one that the system chooses."""
    for port in (wanted, 0):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return int(probe.getsockname()[1])
    raise BookTrouble("No port on this machine is free.")
