"""A mail server on the loopback, set up for one run and taken down after it.

Exim is Debian's, with a configuration, a spool, ports and certificates of its own:
nothing of the machine's own mail is touched.
"""

import contextlib
import mailbox
import os
import pathlib
import pwd
import shutil
import socket
import subprocess

import frame

USER, PASSWORD = "grower@example.org", "courgette 4711, ünder glass"  # invented

EXIM = "/usr/sbin/exim4"
EXIM_CONFIG = """
primary_hostname = mail.example
spool_directory = {work}/spool
log_file_path = {work}/log/%slog
pid_file_path = {work}/spool/pid
local_interfaces = 127.0.0.1
daemon_smtp_ports = {all_ports}
tls_on_connect_ports = {implicit}
tls_advertise_hosts = ${{if eq{{$received_port}}{{{bare}}}{{}}{{*}}}}
tls_certificate = {certs}/${{if eq{{$received_port}}{{{misnamed}}}{{other-name}}{{\
${{if eq{{$received_port}}{{{outdated}}}{{expired}}{{right}}}}}}}}.pem
tls_privatekey = {certs}/${{if eq{{$received_port}}{{{misnamed}}}{{other-name}}{{\
${{if eq{{$received_port}}{{{outdated}}}{{expired}}{{right}}}}}}}}.key
deliver_drop_privilege = true
keep_environment =
acl_smtp_rcpt = rcpt

begin acl
rcpt:
  deny local_parts = gone
       message = no such box here
  defer local_parts = full
       message = the box is full
  deny !authenticated = *
       condition = ${{if !eq{{$received_port}}{{{bare}}}}}
       message = log in first
  accept

begin routers
maildir:
  driver = accept
  local_parts = maildir
  transport = maildir
mbox:
  driver = accept
  transport = mbox

begin transports
maildir:
  driver = appendfile
  maildir_format
  directory = {work}/mail/maildir
  return_path_add
mbox:
  driver = appendfile
  file = {work}/mail/mbox
  return_path_add

begin authenticators
plain:
  driver = plaintext
  public_name = PLAIN
  server_prompts = :
  server_condition = ${{if and{{{{eq{{$auth2}}{{{user}}}}}{{eq{{$auth3}}{{{password}}}}}}}}}
  server_set_id = $auth2
  server_advertise_condition = ${{if and{{{{def:tls_in_cipher}}{{\
!inlist{{$received_port}}{{{unopen}:{login}:{cram}}}}}}}}}
login:
  driver = plaintext
  public_name = LOGIN
  server_prompts = Username:: : Password::
  server_condition = ${{if and{{{{eq{{$auth1}}{{{user}}}}}{{eq{{$auth2}}{{{password}}}}}}}}}
  server_set_id = $auth1
  server_advertise_condition = ${{if eq{{$received_port}}{{{login}}}}}
cram:
  driver = cram_md5
  public_name = CRAM-MD5
  server_secret = ${{if eq{{$auth1}}{{{user}}}{{{password}}}fail}}
  server_set_id = $auth1
  server_advertise_condition = ${{if eq{{$received_port}}{{{cram}}}}}
"""

DOORS = ("starttls", "implicit", "bare", "unopen", "login", "cram", "misnamed", "outdated")


def free_ports(n):
    """Ports that nobody has, all held at once so that they differ."""
    held = [socket.socket() for _ in range(n)]
    for s in held:
        s.bind(("127.0.0.1", 0))
    ports = [s.getsockname()[1] for s in held]
    for s in held:
        s.close()
    return ports


def certificates(place):
    folder = place.folder("certificates")
    status, _, err = place.run("sh", "tests/lib/certs.sh", folder)
    if status != 0:
        raise OSError(f"no certificates: {err.decode()}")
    return folder


def login(place, password=PASSWORD):
    """What our side has to know."""
    return {"user": USER, "password_file": place.file("password", password + "\n")}


class Exim:
    """`port` has a port for each door: how the server behaves is told by where one comes in."""

    def __init__(self, place, certs):
        self.work = place.folder("exim")
        self.port = dict(zip(DOORS, free_ports(len(DOORS))))
        for name in ("spool", "log", "mail"):
            os.mkdir(os.path.join(self.work, name))
        shutil.copytree(certs, os.path.join(self.work, "certs"))
        self._hand_over(place)
        self.config = os.path.join(self.work, "config")
        values = dict(self.port, work=self.work, certs=os.path.join(self.work, "certs"), user=USER, password=PASSWORD)
        with open(self.config, "w", encoding="utf-8") as f:
            f.write(EXIM_CONFIG.format(all_ports=" : ".join(map(str, self.port.values())), **values))

    def _hand_over(self, place):
        """Started by root, as it has to be, it works as a user of its own."""
        if os.geteuid() != 0:
            raise PermissionError("exim starts for root alone: run these checks as root, in a container for instance")
        os.chmod(place.work, 0o755)
        owner = pwd.getpwnam("Debian-exim")
        for folder, _, files in os.walk(self.work):
            for path in [folder] + [os.path.join(folder, name) for name in files]:
                os.chown(path, owner.pw_uid, owner.pw_gid)

    def __enter__(self):
        self.server = subprocess.Popen(
            [EXIM, "-C", self.config, "-bdf"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        if not frame.wait_for(lambda: self.server.poll() is not None or self._listens()):
            raise OSError("exim does not begin to listen")
        if self.server.poll() is not None:
            raise OSError(f"exim does not start: {self.server.stdout.read().decode()}")
        return self

    def __exit__(self, *_):
        frame.wait_for(self._at_rest)
        self.server.terminate()
        self.server.wait(10)
        self.server.stdout.close()
        frame.wait_for(self._is_gone)

    def _is_gone(self):
        """The server has a process for each connection; the last may still write into its log."""
        try:
            os.killpg(self.server.pid, 0)
        except ProcessLookupError:
            return True
        return False

    def _at_rest(self):
        """Every letter that was taken is delivered: taking is logged before the sender is told."""
        with open(os.path.join(self.work, "log/mainlog"), encoding="utf-8") as f:
            log = f.read()
        return log.count(" <= ") == log.count(" Completed\n")

    def _listens(self):
        with socket.socket() as s:
            return s.connect_ex(("127.0.0.1", self.port["bare"])) == 0

    def url(self, door):
        return f"{'smtps' if door == 'implicit' else 'smtp'}://localhost:{self.port[door]}"

    def program(self, place):
        """Its sendmail, with this configuration."""
        return place.file("sendmail", f'#!/bin/sh\nexec {EXIM} -C {self.config} "$@"\n', 0o700)

    def in_maildir(self):
        """The messages delivered there, as bytes; all that were taken."""
        frame.wait_for(self._at_rest)
        return messages_in(os.path.join(self.work, "mail/maildir"))

    def in_mbox(self):
        frame.wait_for(self._at_rest)
        path = os.path.join(self.work, "mail/mbox")
        if not os.path.exists(path):
            return []
        with contextlib.closing(mailbox.mbox(path, create=False)) as box:
            return [box.get_bytes(key) for key in box.keys()]

    def in_both(self):
        return self.in_maildir() + self.in_mbox()


def messages_in(maildir):
    """Read as files, so that no reader stands between."""
    folder = os.path.join(maildir, "new")
    return [pathlib.Path(folder, name).read_bytes() for name in os.listdir(folder)] if os.path.isdir(folder) else []
