<* the one that rests hangs 30 degrees lower *>
M83
G1 E-1.8 F2400
M104 T<:this-edge:> S<: edge-heat-later - 30 :>
T<:next-edge:>
M109 T<:next-edge:> S<:edge-heat-later:>
G1 E1.8 F2400
