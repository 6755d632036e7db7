#!/bin/sh
# The house rules that no compiler knows (docs/architecture.md):
# - an include points to the same layer or to one below it in cmake/layers.cmake;
# - SQL text and calls of SQLite stand only in src/store and in *_store.c;
# - only src/cli prints, exits, and reads the environment and the clock.
# Run from anywhere; says each breach with its file and fails if there is one.
set -u
cd "$(dirname "$0")/.." || exit 2

# "layer below..." with the layers that are below by way of others, too.
arrows=$(awk '
    /^layer\(/ {
        line = $0
        while (line !~ /\)/ && (getline more) > 0) line = line " " more
        gsub(/^layer\(|\).*$/, "", line)
        count = split(line, word, " ")
        name = word[1]; order[++layers] = name; reading = 0
        for (i = 2; i <= count; i++) {
            if (word[i] == "BELOW") reading = 1
            else if (word[i] ~ /^[A-Z]+$/) reading = 0
            else if (reading) { below[name] = below[name] " " word[i] below[word[i]] }
        }
    }
    END { for (i = 1; i <= layers; i++) print order[i] below[order[i]] }
' cmake/layers.cmake)
[ -n "$arrows" ] || { echo "no layers in cmake/layers.cmake" >&2; exit 2; }

# The source without its comments.
code() {
    gcc -fpreprocessed -dD -E -P -x c "$1" 2>/dev/null
}

complain() {
    breaches=$((breaches + 1))
    echo "$1: $2"
}

breaches=0
files=0
for file in src/*/*.[ch]; do
    files=$((files + 1))
    layer=${file#src/}
    layer=${layer%%/*}
    allowed=" $(printf '%s\n' "$arrows" | sed -n "s/^$layer\(.*\)/$layer\1/p") "
    for target in $(sed -n 's/^#include "\([a-z]*\)\/.*/\1/p' "$file"); do
        case $allowed in
        *" $target "*) ;;
        *) complain "$file" "includes $target, which is not below $layer" ;;
        esac
    done
    case $file in
    src/store/* | *_store.[ch]) ;;
    *)
        sql=$(code "$file" | grep -E \
            '"(SELECT|INSERT|UPDATE|DELETE|CREATE|DROP|ALTER|PRAGMA|BEGIN|COMMIT|ROLLBACK) |[^a-z_]sqlite3_[a-z]')
        [ -z "$sql" ] || complain "$file" "SQL outside the store: $sql"
        ;;
    esac
    case $file in
    src/cli/*) ;;
    *)
        door=$(code "$file" | grep -E \
            '(^|[^a-zA-Z0-9_.>])(v?f?printf|f?puts|f?putc|putchar|perror|exit|_exit|quick_exit|abort|getenv|secure_getenv|time|clock|clock_gettime|gettimeofday)\(|[^a-z_](stdout|stderr|stdin)[^a-z_]')
        [ -z "$door" ] || complain "$file" "only src/cli may do this: $door"
        ;;
    esac
done
echo "$files files, $breaches breaches"
[ "$files" -gt 0 ] && [ "$breaches" -eq 0 ]
