#!/bin/sh
# The narrow coat as a chain of commands: the same pieces as narrow-coat.toml gives.
#
#   sh examples/chain.sh > narrow-coat.svg
set -eu
here=$(dirname "$0")
retrue=${RETRUE:-retrue}

"$retrue" -q set-allowance "$here/../fixtures/coat.svg" --edges "back.side, front.side" --allowance 7mm |
  "$retrue" -q move-seam - --seam front.side --from back --to-width 17.8cm --line grain |
  "$retrue" -q set-allowance - --edges "*.armhole, *.armhole-2, sleeve.cap" --allowance 7mm |
  "$retrue" -q set-edge - --edge back.side --selvedge yes |
  "$retrue" -q true-seam - --seam front.armhole --smooth front.armhole |
  "$retrue" -q add-princess-seam - --piece front --from "shoulder@50%" --through bust-point --to "hem@45% from centre" |
  "$retrue" -q set-allowance - --edges "*.princess" --allowance 15mm |
  "$retrue" -q split - --piece sleeve --line fore-line --names "sleeve-hind-part, sleeve-fore-strip" |
  "$retrue" -q split - --piece sleeve-hind-part --line hind-line --names "sleeve-upper, sleeve-hind-strip" |
  "$retrue" -q merge-at-seamline - --seam sleeve-fore-strip.underarm-front --name sleeve-under |
  "$retrue" -q turn-grain - --piece collar --to crosswise
