# As time_lmer.R for the fries: 694 rows, five random terms. Kenward-Roger once, it takes seconds.
# Run from the folder that holds data/.
suppressPackageStartupMessages(library(lmerTest))
d <- read.csv("data/fries.csv"); for (f in c("week", "treatment", "subject")) d[[f]] <- factor(d[[f]])
fm <- painty ~ treatment + (1 | subject) + (1 | week) + (1 | subject:treatment) + (1 | subject:week) + (1 | week:treatment)
tm <- function(g, n = 5) { g(); median(replicate(n, system.time(g())[[3]])) * 1e3 }
fit <- function() suppressMessages(lmerTest::lmer(fm, d)); m <- fit()
kr <- system.time(coef(summary(m, ddf = "Kenward-Roger")))[[3]] * 1e3
cat(sprintf('{"fit_ms": %.2f, "kenward_roger_ms": %.2f}\n', tm(fit), kr))
