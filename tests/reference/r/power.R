# Makes values of expected/power.json again with base R. Run from tests/reference: Rscript r/power.R
options(digits = 17)
for (n in c(5, 10, 20)) for (dz in c(0.2, 0.5, 0.8, 1, 1.5))
  cat(n, dz, power.t.test(n = n, delta = dz, sd = 1, sig.level = 0.05, type = "paired",
                          alternative = "two.sided", strict = TRUE)$power, "\n")
for (n in c(5, 8)) cat(n, uniroot(function(dz) power.t.test(n = n, delta = dz, sd = 1,
  type = "paired", strict = TRUE)$power - 0.8, c(0.01, 10), tol = 1e-13)$root, "\n")
