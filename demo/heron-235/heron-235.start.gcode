; Heron 235, start: runs before the first layer of every job.
; Nothing is known when it begins: the machine may be cold, and in any mode that a job left.

; 1. How numbers are read
G21                                 ; lengths in mm
G90                                 ; X Y Z are places, not steps
M83                                 ; E is a step: how much filament this one move feeds
M107                                ; no fan on the first layer

; 2. Warm the bed. It is slow, so the nozzle only gets as warm as it can without dripping.
M140 S{{ heat.bed.first }}          ; bed: begin
M104 S150                           ; nozzle: soft, not yet running

; 3. Find the axes while both warm up
G28                                 ; ends at X-4 Y-6, outside the bed
G1 Z15 F600                         ; room to wait in

; 4. Wait. Only now is anything really hot.
M190 S{{ heat.bed.first }}          ; bed: wait
M109 S{{ heat.nozzle.first }}       ; nozzle: up to printing heat, and wait

; 5. Purge line up the left side. A bead 0.6 wide and 0.3 high with round sides is 0.161 mm2:
;    180 mm of it is 28.9 mm3, or 12 mm of filament.
G1 X4 Y20 F6000                     ; over the bed, 4 mm from its edge
G1 Z0.3 F600
G1 Y200 E12 F1200                   ; 20 mm/s: 3.2 mm3/s, well below what it can melt
G1 X4.6 F6000                       ; one bead to the right
G1 Y110 E6 F1200                    ; and half of the way back

; 6. Hand over: absolute, in mm, hot, filament pulled back a little, nozzle clear of the bed
G1 E-0.8 F1800
G1 Z2 F600
