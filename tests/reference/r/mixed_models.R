# Refits every model of expected/lmm_*.json and prints the largest relative difference from the stored values.
# The stored files are kept as they came (17 digits, R 4.2.2); this shows that they can be remade.
# Run from the folder that holds data/ and expected/. Packages as for mixed_small_designs.R.
suppressPackageStartupMessages({library(lmerTest); library(pbkrtest); library(emmeans); library(jsonlite)})
options(contrasts = c("contr.treatment", "contr.poly"))
tight <- lmerControl(optimizer = "nloptwrap", calc.derivs = FALSE, check.conv.singular = "ignore",
  optCtrl = list(algorithm = "NLOPT_LN_BOBYQA", xtol_abs = 1e-13, xtol_rel = 0, ftol_abs = 0, ftol_rel = 0, maxeval = 20000))
off <- function(a, b) max(abs(a - b) / pmax(abs(b), 1e-12))
col <- function(rows, name) vapply(rows, function(r) as.numeric(r[[name]]), 0)
for (file in Sys.glob("expected/lmm_*.json")) {
  e <- fromJSON(file, simplifyVector = FALSE); d <- read.csv(file.path("data", e$data_file))
  if (!is.null(e$preparation)) d <- eval(parse(text = e$preparation))
  for (f in unlist(e$factors)) d[[f]] <- factor(d[[f]])
  m <- suppressMessages(lmerTest::lmer(as.formula(e$formula), d, control = tight)); vc <- as.data.frame(VarCorr(m))
  cat(sprintf("%s: log-likelihood %.1e, variances %.1e", e$id, abs(as.numeric(logLik(m)) - e$reml$log_lik),
    max(abs(vc$vcov - col(e$variance_components, "variance"))) / sum(vc$vcov)))
  for (ddf in c("Satterthwaite", "Kenward-Roger")) {
    key <- if (ddf == "Satterthwaite") "satterthwaite" else "kenward_roger"
    co <- coef(summary(m, ddf = ddf)); an <- anova(m, type = 3, ddf = ddf); want <- e[[paste0("fixed_", key)]]
    cat(sprintf("; %s se %.1e df %.1e F %.1e", ddf, off(co[, 2], col(want, "se")), off(co[, 3], col(want, "df")),
      off(an[["F value"]], col(e$anova_type3[[key]], "F"))))
    for (spec in names(e$emmeans)) {
      p <- as.data.frame(suppressMessages(pairs(emmeans(m, as.formula(spec), lmer.df = sub("_", "-", key)), adjust = "tukey")))
      cat(sprintf(" %s Tukey p %.1e", spec, max(abs(p$p.value - col(e$emmeans[[spec]][[key]]$pairwise, "p_tukey")))))
    }
  }
  cat("\n")
}
