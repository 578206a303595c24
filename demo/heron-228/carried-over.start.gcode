; A start sequence from the Heron's larger sister (bed 317 x 284 mm, a hotter nozzle), changed
; in a hurry. It ran well there. On the Heron 228 half of it is wrong: read what Bookend says.

M83
G90
G21

M140 S{{ heat.bed.frist }}          ; a slip of the fingers: no such placeholder
M104 S291                           ; fine for the sister's nozzle, too hot here

G28
G1 Z0,28 F540                       ; a decimal comma

; Purge line along the front. The nozzle was told to heat, but nothing waited for it.
G1 X281 Y12 F7800                   ; off this bed, and past what the nozzle can reach
G1 X148 E11.2 F1140

M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}

G91                                 ; a step up, and the way back to G90 forgotten
G1 Z6 F540
