"""The systemd unit that runs the program from the start of the machine."""

from __future__ import annotations

import getpass
from collections.abc import Mapping, Sequence
from pathlib import Path

UNIT = """\
# Keep as /etc/systemd/system/laneproof.service, then: systemctl daemon-reload && systemctl enable --now laneproof
[Unit]
Description=Laneproof, the staff's playbook
After=network-online.target
Wants=network-online.target

[Service]
User={user}
WorkingDirectory={folder}
{environment}
ExecStart={command}
Restart=on-failure
RestartSec=5
# The program stops its own processes in order; what is left after that is ended.
KillMode=mixed
TimeoutStopSec=60
UMask=0077
NoNewPrivileges=yes
ProtectSystem=full
ProtectKernelTunables=yes
ProtectControlGroups=yes

[Install]
WantedBy=multi-user.target
"""


def unit(folder: Path, command: Sequence[str], environment: Mapping[str, str]) -> str:
    """Returns the unit's text: who runs it is whoever asks."""
    lines = "\n".join(f"Environment={_quoted(f'{name}={value}')}" for name, value in environment.items())
    return UNIT.format(
        user=getpass.getuser(),
        folder=str(folder).replace("%", "%%"),
        environment=lines,
        command=" ".join(_quoted(word) for word in command),
    )


def _quoted(word: str) -> str:
    safe = word.replace("%", "%%").replace("\\", "\\\\").replace('"', '\\"').replace("$", "$$")
    return f'"{safe}"' if safe != word or any(letter.isspace() or letter in "';" for letter in word) else word
