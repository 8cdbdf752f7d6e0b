# Time of the random-judge model of wine bitterness in R's ordinal, milliseconds.
suppressPackageStartupMessages(library(ordinal)); library(jsonlite)
wine <- read.csv("data/wine.csv"); wine$rating <- factor(wine$rating, ordered = TRUE); wine$judge <- factor(wine$judge)
work <- function() summary(clmm(rating ~ temp + contact + (1 | judge), data = wine, nAGQ = 31, Hess = TRUE))
invisible(work()); cat(toJSON(list(clmm_ms = 1000 * median(replicate(7, system.time(work())["elapsed"]))), auto_unbox = TRUE))
