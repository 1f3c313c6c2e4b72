# SPDX-License-Identifier: GPL-3.0-or-later
"""Builds the module with the library in it: a C compiler and GSL (libgsl-dev) suffice."""
import shlex
import subprocess
from pathlib import Path

from setuptools import Extension, setup

HERE = Path(__file__).resolve().parent
VERSION = (HERE / "VERSION").read_text().strip()


def gsl(what):
    """Flags for GSL from pkg-config, or from gsl-config, or the usual ones."""
    for command in (["pkg-config", f"--{what}", "gsl"], ["gsl-config", f"--{what}"]):
        try:
            return shlex.split(subprocess.run(command, check=True, capture_output=True,
                                              text=True).stdout)
        except (OSError, subprocess.CalledProcessError):
            continue
    return ["-lgsl", "-lgslcblas", "-lm"] if what == "libs" else []


sources = sorted(str(p.relative_to(HERE)) for p in (HERE / "src/lib").rglob("*.c"))
setup(
    version=VERSION,
    ext_modules=[Extension(
        "dialarc._dialarc", ["src/dialarc_wrap.c", *sources],
        include_dirs=["src", "src/include", "src/lib"],
        define_macros=[("_POSIX_C_SOURCE", "200809L"),
                       ("PACKAGE_VERSION", f'"{VERSION}"')],
        extra_compile_args=["-std=c11", "-fvisibility=hidden", "-pthread",
                            *gsl("cflags")],
        extra_link_args=["-pthread", *gsl("libs"), "-lm"])])
