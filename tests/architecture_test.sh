#!/bin/sh
# The rules of the house; says what it found (architecture.py).
exec python3 -B "$(dirname "$0")/architecture.py"
