evening
