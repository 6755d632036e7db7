#!/bin/sh
# make.sh PAGES FOLDER: manual pages and completions as they are installed.
set -eu
pages=$1
folder=$2
man=$folder/man/man1
mkdir -p "$man" "$folder/bash-completion/completions" "$folder/zsh/vendor-completions" \
    "$folder/fish/vendor_completions.d"
"$pages" man >"$man/rushlight.1"
for command in $("$pages" commands); do
    "$pages" man "$command" >"$man/rushlight-$command.1"
done
"$pages" bash >"$folder/bash-completion/completions/rushlight"
"$pages" zsh >"$folder/zsh/vendor-completions/_rushlight"
"$pages" fish >"$folder/fish/vendor_completions.d/rushlight.fish"
