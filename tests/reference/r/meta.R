# Checks expected/meta_analysis.json with metafor and makes expected/meta_more.json, with tighter
# tolerances. Run from tests/reference: Rscript r/meta.R. Needs metafor and jsonlite.
suppressPackageStartupMessages(library(metafor)); library(jsonlite)
tight <- list(threshold = 1e-14, tol = 1e-14, maxiter = 10000)
file <- fromJSON("expected/meta_analysis.json", simplifyVector = FALSE); worst <- list()
for (case in file$cases) {
  how <- strsplit(case$id, "_")[[1]]
  fit <- rma(unlist(case$yi), sei = unlist(case$sei), method = how[2], test = how[3])
  worst[[how[2]]] <- max(worst[[how[2]]], abs(fit$beta[1] - case$estimate), abs(fit$se - case$se), abs(fit$tau2 - case$tau2))
}
cat("meta_analysis.json: largest difference", paste(names(worst), signif(unlist(worst), 2)), "\n")
# Paule and Mandel's root is exact where the generalised Q is k - 1; the default stops before it.
q <- function(t, y, s) { w <- 1 / (s^2 + t); sum(w * (y - weighted.mean(y, w))^2) }
pm <- Filter(function(c) c$id == "six_PM_z", file$cases)[[1]]
cat("generalised Q at the stored PM variance, less 5:", q(pm$tau2, unlist(pm$yi), unlist(pm$sei)) - 5, "\n")
sets <- list(
  homogeneous = list(y = c(2.0, 2.1, 1.9, 2.05), s = c(0.8, 0.9, 1.1, 0.7)),
  two = list(y = c(1.2, 3.9), s = c(0.6, 0.9)),
  three_far = list(y = c(-2.5, 0.4, 6.1), s = c(0.9, 1.4, 0.8)),
  eight = list(y = c(0.31, 0.85, -0.12, 0.44, 1.30, 0.02, 0.58, 0.71), s = c(0.22, 0.35, 0.18, 0.41, 0.39, 0.25, 0.30, 0.20)))
cases <- list()
for (id in names(sets)) for (how in c("REML", "DL", "PM", "ML")) for (test in c("z", "knha")) {
  set <- sets[[id]]
  fit <- suppressWarnings(rma(set$y, sei = set$s, method = how, test = test, control = tight))
  ci <- predict(fit); out <- if (test == "z" && length(set$y) > 2) leave1out(fit) else NULL
  cases[[length(cases) + 1]] <- list(
    id = id, method = how, test = test, yi = set$y, sei = set$s, estimate = as.numeric(fit$beta), se = fit$se,
    p = fit$pval, low = fit$ci.lb, high = fit$ci.ub, tau2 = fit$tau2, se_tau2 = fit$se.tau2, I2 = fit$I2 / 100,
    H2 = fit$H2, Q = fit$QE, prediction = c(ci$pi.lb, ci$pi.ub),
    common_se = 1 / sqrt(sum(1 / set$s^2)), without = if (is.null(out)) NULL else out$estimate)
}
write_json(list(meta = list(R = R.version.string, metafor = as.character(packageVersion("metafor"))), cases = cases),
           "expected/meta_more.json", digits = NA, auto_unbox = TRUE, pretty = 1)
