; Heron 228, start: runs before the first layer of every job.
; Nothing is known when it begins: the machine may be cold, and in any mode that a job left.

; First say how numbers are meant
G90                                 ; X Y Z are places, not steps
M83                                 ; E is a step: how much filament this one move feeds
G21                                 ; lengths in mm

; Find the axes while the tip is cold and clean: a drop on it would spoil the height
G28                                 ; ends at X-5 Y217, behind the bed
G1 Z38 F540                         ; room to wait in, and to look underneath

; Heat the slow one first. A nozzle that waits hot for the bed only drips.
M107                                ; no fan on the first layer
M190 S{{ heat.bed.first }}          ; bed: heat and wait
M109 S{{ heat.nozzle.first }}       ; nozzle: heat and wait

; Purge with one line along the front, from right to left. A bead 0.7 wide and 0.32 high with
; round sides is 0.202 mm2: 172 mm of it is 34.7 mm3, or 14.4 mm of filament.
G1 X209 Y7 F7800                    ; over the bed, 7 mm behind its front edge
G1 Z0.32 F540
G1 X37 E14.4 F1140                  ; 19 mm/s: 3.8 mm3/s, well below what it can melt

; Hand over: hot, pulled back a little, clear of the bed, in the modes from the top
G1 E-0.9 F1980
G1 Z2.5 F540
