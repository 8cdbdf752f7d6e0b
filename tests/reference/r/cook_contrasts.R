# Contrasts with one value per cook, and Hotelling's joint test, from base R (t.test, lm, mahalanobis).
# cake: replicate is the cook, recipes A, B, C, six temperatures. wine-like factorial: recipe x two temperatures.
# Run from the folder that holds data/ and expected/. Needs r-cran-jsonlite.
d <- read.csv("data/cake.csv")
w <- sapply(split(d, d$replicate), function(x) tapply(x$angle, list(x$recipe, x$temperature_f), mean), simplify = "array")
tt <- function(v) { t <- t.test(v); list(estimate = unname(t$estimate), se = unname(t$stderr), df = unname(t$parameter), t = unname(t$statistic),
  p = t$p.value, low = t$conf.int[1], high = t$conf.int[2]) }
pair <- function(a, b) tt(apply(w[a, , ] - w[b, , ], 2, mean))
temps <- as.numeric(dimnames(w)[[2]]); mean_curve <- apply(w, c(3, 2), mean)
coefs <- t(apply(mean_curve, 1, function(y) coef(lm(y ~ temps + I(temps^2)))))
slopes <- apply(mean_curve, 1, function(y) coef(lm(y ~ temps))[2])
two <- w[c("A", "B"), c("175", "225"), ]
hot <- function(m) { n <- nrow(m); q <- ncol(m); F <- n * mahalanobis(rep(0, q), colMeans(m), cov(m)) * (n - q) / (q * (n - 1))
  list(F = F, df1 = q, df2 = n - q, p = pf(F, q, n - q, lower.tail = FALSE)) }
# A bowl with its best inside: loss from 200 degrees, invented from the same data.
bowl <- mean_curve - outer(rep(1, 15), (temps - 204)^2 / 40)
bc <- t(apply(bowl, 1, function(y) coef(lm(y ~ temps + I(temps^2)))))
tvals <- function(x) abs(mean(bc[, 2] + 2 * x * bc[, 3]) / (sd(bc[, 2] + 2 * x * bc[, 3]) / sqrt(15))) - qt(.975, 14)
best <- -mean(bc[, 2]) / (2 * mean(bc[, 3]))
out <- list(generated_by = "r/cook_contrasts.R", r_version = R.version.string,
  pairs = list("A,B" = pair("A", "B"), "A,C" = pair("A", "C"), "B,C" = pair("B", "C")),
  holm = p.adjust(c(pair("A", "B")$p, pair("A", "C")$p, pair("B", "C")$p), "holm"),
  slope = tt(slopes), bend = tt(coefs[, 3]),
  curve_200 = tt(coefs %*% c(1, 200, 200^2)),
  best = list(estimate = best, low = uniroot(tvals, c(150, best), tol = 1e-12)$root, high = uniroot(tvals, c(best, 260), tol = 1e-12)$root),
  factorial = list(recipe = tt(apply(two["A", , ] - two["B", , ], 2, mean)), temperature = tt(apply(two[, "175", ] - two[, "225", ], 2, mean)),
    interaction = tt(two["A", "175", ] - two["B", "175", ] - two["A", "225", ] + two["B", "225", ]),
    recipe_at_175 = tt(two["A", "175", ] - two["B", "175", ]), temperature_at_B = tt(two["B", "175", ] - two["B", "225", ])),
  joint_recipe = hot(cbind(apply(w["B", , ] - w["A", , ], 2, mean), apply(w["C", , ] - w["A", , ], 2, mean))))
jsonlite::write_json(out, "expected/cook_contrasts.json", digits = I(17), auto_unbox = TRUE, pretty = TRUE)
