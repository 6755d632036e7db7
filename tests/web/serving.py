"""A server of the page for a test: started on a free port, stopped at the end."""

import contextlib
import http.client
import re
import signal
import socket
import subprocess
import tempfile
import time


class Server:
    def __init__(self, program, book, *options, **process):
        self.process = subprocess.Popen(
            [program, "serve", "--port", "0", "--book", book, *options],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **process)
        self.secret = None
        for line in self.process.stdout:
            found = re.search(r"http://127\.0\.0\.1:(\d+)/enter\?secret=([0-9a-f]{64})", line)
            if found:
                self.port = int(found.group(1))
                self.secret = found.group(2)
            if line.startswith("This address opens"):
                break
        assert self.secret, self.process.stderr.read()
        self.host = f"127.0.0.1:{self.port}"
        self.origin = f"http://{self.host}"
        self.cookie = None
        self.token = None

    def ask(self, method, path, body=None, headers=None, cookie=True):
        """One request; the status, the headers and the body of its answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        send = {}
        if cookie and self.cookie:
            send["Cookie"] = self.cookie
        send.update(headers or {})
        connection.request(method, path, body=body, headers=send)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, answer.headers, content

    def raw(self, data, seconds=20):
        """Bytes as they are; whatever comes back until the server closes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=seconds) as link:
            link.sendall(data)
            back = b""
            with contextlib.suppress(socket.timeout, ConnectionResetError):
                while piece := link.recv(65536):
                    back += piece
            return back

    def enter(self):
        status, headers, _ = self.ask("GET", f"/enter?secret={self.secret}")
        assert status == 303, status
        self.cookie = headers["Set-Cookie"].split(";")[0]
        _, _, sheet = self.ask("GET", "/data")
        self.token = re.search(rb'name="token" content="([0-9a-f]{64})"', sheet).group(1).decode()

    def change(self, path, fields, **more):
        """A form as a page of this server sends it."""
        from urllib.parse import urlencode
        headers = {"Origin": self.origin, "Content-Type": "application/x-www-form-urlencoded"}
        headers.update(more.get("headers", {}))
        return self.ask("POST", path, urlencode({"token": self.token, **fields}), headers)

    def hand_over(self, path, name, content, fields=None, headers=None):
        """A form with a file (RFC 7578)."""
        edge = "----edge-of-a-part"
        parts = b""
        for key, value in {"token": self.token, **(fields or {})}.items():
            parts += (f'--{edge}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n'
                      f"{value}\r\n").encode()
        parts += (f'--{edge}\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n'
                  "Content-Type: text/csv\r\n\r\n").encode() + content + f"\r\n--{edge}--\r\n".encode()
        send = {"Origin": self.origin, "Content-Type": f"multipart/form-data; boundary={edge}"}
        send.update(headers or {})
        return self.ask("POST", path, parts, send)

    def stop(self):
        # More than once, as timeout(1) does it and an impatient hand: it still tidies and ends well.
        deadline = time.monotonic() + 30
        while self.process.poll() is None and time.monotonic() < deadline:
            self.process.send_signal(signal.SIGTERM)
            time.sleep(0.0005)
        self.process.communicate(timeout=1)
        return self.process.returncode


@contextlib.contextmanager
def serving(program, book, *options, **process):
    server = Server(program, book, *options, **process)
    try:
        yield server
    finally:
        if server.process.poll() is None:
            server.stop()


def demo_book(program, folder):
    subprocess.run([program, "demo", "--dir", folder, "--quiet"], check=True,
                   stdout=subprocess.DEVNULL)
    return folder + "/book.sqlite"


def scratch():
    return tempfile.TemporaryDirectory(prefix="rushlight-test-")
