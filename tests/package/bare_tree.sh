#!/bin/sh
# bare_tree.sh PACKAGE.deb: the package in a bare Debian tree of its own: it is
# installed with what it depends on, works, and is removed without a trace. It
# stands outside the tests: it needs root and Debian's archive. Nothing that may
# fail is the first part of a pipe, whose status nobody sees.
set -eu
package=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
mmdebstrap --variant=minbase --mode="${MODE:-root}" --quiet \
    --customize-hook='copy-in '"$package"' /tmp' \
    --customize-hook='chroot "$1" sh -euc "
        cd /tmp
        find /usr /etc -path \"*rushlight*\" >before
        apt-get update -qq
        apt-get install -y -qq --no-install-recommends ./$(basename '"$package"') >/dev/null
        rushlight --version
        rushlight demo >demo.txt
        tail -n 3 demo.txt
        cd rushlight-demo
        rushlight scan --watchlist reedlands --setup low-inverted-hammer --all --quiet \
            --book book.sqlite --format csv >signals.csv
        test \$(wc -l <signals.csv) -gt 50
        rushlight case cut-rush 2024-11-01 --setup low-inverted-hammer --quiet \
            --book book.sqlite -o case.pdf
        head -c 4 case.pdf | grep -qx %PDF
        test -s /usr/share/man/man1/rushlight.1.gz || echo no manual page, as minbase may ask
        cd /tmp
        apt-get purge -y -qq rushlight >/dev/null
        find /usr /etc -path \"*rushlight*\" >after
        cmp before after
        test ! -e /usr/bin/rushlight
        echo installed, worked, removed"' \
    bookworm /dev/null
