# SPDX-License-Identifier: GPL-3.0-or-later
from typing import Any

def __getattr__(name: str) -> Any: ...
