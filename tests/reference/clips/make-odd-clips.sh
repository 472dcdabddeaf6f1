#!/bin/sh
# Makes the small odd files in made/ with ffmpeg: what phones, editors and broken copies hand over. All pictures are drawn.
#   sh make-odd-clips.sh
set -e
cd "$(dirname "$0")/made"
F="ffmpeg -v error -y"
SRC="testsrc=size=64x48:rate=120"
$F -f lavfi -i "$SRC" -frames:v 120 -c:v libx264 -g 30 -bf 2 -pix_fmt yuv420p even-120.mp4
# Variable rate: every third frame of the second half is missing.
$F -f lavfi -i "$SRC" -frames:v 240 -vf "select='lt(n,120)+mod(n,3)'" -fps_mode passthrough -c:v libx264 -bf 0 -pix_fmt yuv420p variable.mp4
$F -i even-120.mp4 -c copy -metadata:s:v rotate=90 rotated.mp4
# One cut by an edit list: the key frame before it is in the file and not shown.
$F -ss 0.4 -t 0.3 -i even-120.mp4 -c copy cut.mp4
# Two pieces, written by hand into a copy of the edit list.
node ../write-two-edits.mjs even-120.mp4 two-pieces.mp4
head -c 3000 even-120.mp4 > cut-off.mp4
$F -f lavfi -i "sine=duration=0.2" -c:a aac sound-only.mp4
$F -f lavfi -i "$SRC" -frames:v 12 -c:v libx265 -x265-params log-level=none -tag:v hvc1 -pix_fmt yuv420p hevc.mp4
$F -f lavfi -i "$SRC" -frames:v 60 -c:v libvpx-vp9 -pix_fmt yuv420p whole.webm
head -c 2000 whole.webm > cut-off.webm
$F -i even-120.mp4 -i whole.webm -map 0:v -map 1:v -c copy two-tracks.mp4
# The greatest width that is reviewed, and pictures of which few fit into memory: fields of one colour that step through grey.
GREY="geq=lum='16+8*mod(N,24)':cb=128:cr=128"
$F -f lavfi -i "color=black:s=8192x32:r=120" -frames:v 24 -vf "$GREY" -c:v libx264 -preset medium -g 24 -bf 2 -pix_fmt yuv420p wide.mp4
$F -f lavfi -i "color=black:s=3840x2160:r=120" -frames:v 48 -vf "$GREY" -c:v libx264 -preset medium -g 24 -bf 2 -pix_fmt yuv420p large.mp4
