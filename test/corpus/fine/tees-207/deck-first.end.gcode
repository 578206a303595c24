m83
g1 e-1.4 f1800
m104 s0
m140 s0
g90
>> if mast + 4 < reach.top
g1 z#mast + 4# f540
g1 x0 y212 f6600
>> over
m107
m84
