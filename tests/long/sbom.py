# SPDX-License-Identifier: GPL-3.0-or-later
"""The bill of materials of an archive, SPDX 2.3 in tag-value form.

    sbom.py FOLDER VERSION CONFIGURE_AC EPOCH >FOLDER/dialarc.spdx

Every file of the unpacked archive with its hashes and licence, and what configure asks for,
with the version from which on it will do. The same files give the same bill.
"""
import datetime
import hashlib
import re
import sys
from pathlib import Path

NAME = "dialarc.spdx"
LICENCE = "GPL-3.0-or-later"


def files(folder):
    for path in sorted(folder.rglob("*"), key=lambda p: p.relative_to(folder).as_posix()):
        if path.is_file() and path != folder / NAME:
            yield path.relative_to(folder).as_posix(), path.read_bytes()


def licence_in(data):
    found = re.search(rb"SPDX-License-Identifier: ([\w.+-]+)", data[:2000])
    return found[1].decode() if found else "NONE"


def needs(configure):
    """[(package of pkg-config, version)] in the order of configure.ac."""
    found = re.findall(r"PKG_CHECK_MODULES\(\[\w+\], \[([\w.]+) >= ([\d.]+)\]", configure)
    return list(dict(found).items())


def bill(folder, version, configure, epoch):
    when = datetime.datetime.fromtimestamp(epoch, datetime.timezone.utc)
    listed = [(name, hashlib.sha1(data).hexdigest(), hashlib.sha256(data).hexdigest(),
               licence_in(data)) for name, data in files(folder)]
    code = hashlib.sha1("".join(sorted(sha1 for _, sha1, _, _ in listed)).encode())
    yield from (
        "SPDXVersion: SPDX-2.3", "DataLicense: CC0-1.0", "SPDXID: SPDXRef-DOCUMENT",
        f"DocumentName: dialarc-{version}",
        f"DocumentNamespace: https://spdx.org/spdxdocs/dialarc-{version}-{code.hexdigest()}",
        "Creator: Tool: sbom.py", f"Created: {when:%Y-%m-%dT%H:%M:%SZ}", "",
        "PackageName: dialarc", "SPDXID: SPDXRef-dialarc", f"PackageVersion: {version}",
        "PackageDownloadLocation: NOASSERTION", "FilesAnalyzed: true",
        f"PackageVerificationCode: {code.hexdigest()} (excludes: ./{NAME})",
        f"PackageLicenseConcluded: {LICENCE}", f"PackageLicenseDeclared: {LICENCE}",
        "PackageCopyrightText: NOASSERTION",
        "Relationship: SPDXRef-DOCUMENT DESCRIBES SPDXRef-dialarc")
    for package, least in needs(configure):
        yield from ("", f"PackageName: {package}", f"SPDXID: SPDXRef-{package}",
                    "PackageDownloadLocation: NOASSERTION", "FilesAnalyzed: false",
                    "PackageLicenseConcluded: NOASSERTION",
                    "PackageLicenseDeclared: NOASSERTION",
                    "PackageCopyrightText: NOASSERTION",
                    f"PackageComment: <text>{least} or later; not part of the archive</text>",
                    f"Relationship: SPDXRef-dialarc DEPENDS_ON SPDXRef-{package}")
    for number, (name, sha1, sha256, licence) in enumerate(listed, 1):
        yield from ("", f"FileName: ./{name}", f"SPDXID: SPDXRef-File{number}",
                    f"FileChecksum: SHA1: {sha1}", f"FileChecksum: SHA256: {sha256}",
                    "LicenseConcluded: NOASSERTION", f"LicenseInfoInFile: {licence}",
                    "FileCopyrightText: NOASSERTION")


def main():
    folder, version, configure, epoch = sys.argv[1:]
    for line in bill(Path(folder), version, Path(configure).read_text(), int(epoch)):
        print(line)


main()
