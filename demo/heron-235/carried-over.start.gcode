; A start sequence carried over from a bigger machine (300 mm, a hotter nozzle), changed in
; a hurry. It ran well there. On the Heron 235 half of it is wrong: read what Bookend says.

G21
G90
M83

M140 S{{ heat.bed.frist }}          ; a slip of the fingers: no such placeholder
M104 S285                           ; fine for the bigger machine's nozzle, too hot here

G28
G1 Z0,3 F600                        ; a decimal comma

; Purge line along the right side. The nozzle was told to heat, but nothing waited for it.
G1 X290 Y20 F6000                   ; off this bed, and past what the nozzle can reach
G1 Y200 E15 F1200

M190 S{{ heat.bed.first }}
M109 S{{ heat.nozzle.first }}

G91                                 ; a step up, and the way back to G90 forgotten
G1 Z5 F600
