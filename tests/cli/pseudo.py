# SPDX-License-Identifier: GPL-3.0-or-later
"""Programs under a pseudo-terminal: what they write, byte by byte, and the screen that comes of it."""

import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time

import pyte

from harness import SECONDS, expect

COLUMNS, LINES = 100, 40


class Terminal:
    """A program on a terminal of its own, which answers with what `answer` makes of the bytes that came."""

    def __init__(self, command, env, cwd, answer=None, columns=COLUMNS, stdin=None, stdout=None):
        self.text = b""
        self.answer = answer
        self.screen = pyte.Screen(columns, LINES)
        self.stream = pyte.ByteStream(self.screen)
        self.process, self.master = pty.fork()
        if self.process == 0:
            os.chdir(cwd)
            for file, number, mode in ((stdin, 0, os.O_RDONLY), (stdout, 1, os.O_WRONLY | os.O_CREAT)):
                if file is not None:
                    os.dup2(os.open(file, mode), number)
            os.execvpe(command[0], command, env)
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, columns, columns * 10, LINES * 20))

    def step(self, wait):
        """Take what has come; False where the program has closed the terminal."""
        if not select.select([self.master], [], [], wait)[0]:
            return True
        try:
            piece = os.read(self.master, 65536)
        except OSError:
            return False
        self.text += piece
        self.stream.feed(piece)
        if self.answer and (reply := self.answer(piece)):
            os.write(self.master, reply)
        return bool(piece)

    def type(self, text):
        os.write(self.master, text.encode())

    def wait_for(self, holds, words):
        """Until holds() of the screen's text; it fails after some seconds."""
        end = time.monotonic() + min(SECONDS, 60)
        while not holds(self.shown()):
            expect(time.monotonic() < end and self.step(0.05), f"never came: {words}", self.shown())

    def shown(self):
        return "\n".join(line.rstrip() for line in self.screen.display).rstrip()

    def end(self):
        """The exit status, once the program has ended by itself."""
        end = time.monotonic() + SECONDS
        while self.step(0.05):
            expect(time.monotonic() < end, "does not end", self.text[-400:])
        status = os.waitpid(self.process, 0)[1]
        os.close(self.master)
        return os.waitstatus_to_exitcode(status)

    def kill(self):
        os.kill(self.process, signal.SIGKILL)
        os.waitpid(self.process, 0)
        os.close(self.master)
