g28
g90
m83
>> if deck > 0
m190 s#deck#
>> otherwise
m117 cold deck
>> over
m109 s#tip#
g1 x40 y210 z9 f6600 ; behind the deck, where the tip may drip
g4 p3000
g1 x30 y203 f6600
g1 z.3 f360
g1 x125 e7.4 f1020
g1 z1.5 f540
