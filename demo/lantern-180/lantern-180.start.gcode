; Lantern 180, start: runs before the first layer of every job.

; 1. How numbers are read
G21                                 ; lengths in mm
G90                                 ; X Y Z are places; 0, 0 is the middle of the bed
M83                                 ; E is a step
G17                                 ; arcs lie flat

; 2. Home first: it only moves upwards, away from whatever still lies on the bed
G28                                 ; ends at X0 Y0 Z310
M107                                ; fan off

; 3. Heat. The bed comes first, so that the nozzle does not drip while the bed warms.
M190 S{{ heat.bed.first }}          ; bed: set and wait
M109 S{{ heat.nozzle.first }}       ; nozzle: set and wait

; 4. Purge along the rim: a quarter turn, 84 mm from the middle, past the front of the bed.
;    132 mm of a bead 0.6 wide and 0.3 high (0.161 mm2) is 21.2 mm3, or 8.8 mm of filament.
G0 X-59.4 Y-59.4 Z20 F9000          ; down beside the rim
G1 Z0.3 F1200
G3 X59.4 Y-59.4 I59.4 J59.4 E8.8 F1200
G1 E-1 F1800                        ; pull back, so that no thread is drawn

; 5. Hand over: absolute, in mm, hot, clear of the bed
G1 Z3 F1200
