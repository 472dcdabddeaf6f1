#!/usr/bin/env Rscript
# Writes distributions.json, the grid that src/lib/stats/distributions.test.ts holds our tails and quantiles against.
#
#   Rscript tests/reference/distributions.R
#
# Every value is R's own (4.2.2, base only). Arguments are rounded to a few digits first, so that both sides start from
# the same double. What R itself is known to be unsure of is left out, not loosened:
#   - pt() beyond 4e5 degrees of freedom is a normal approximation in R;
#   - qt() at 1e-300 with few degrees of freedom is off by up to 1e-8 (its own pt() gives 0.99999998e-300 back);
#   - qf() at small lower tails is off, so quantiles of F come from the upper tail alone;
#   - a tail below the least normal double (2.2e-308) has no digits left to compare.

options(warn = 2)

exponents <- c(0.05, 0.3, 0.7, 1, 1.3, 2, 3, 4.5, 6, 8, 10, 14, 20, 30, 45, 60, 80, 100, 130, 160, 200, 250, 300)
log_tails <- -exponents * log(10)
places <- function(x) signif(x, 9)

rows <- list()
add <- function(name, args, value) {
  if (is.finite(value) && (value == 0 || abs(value) > 2.3e-308)) rows[[length(rows) + 1]] <<- list(name, as.numeric(args), value)
}
# Both tails at one point, and the two quantile functions at one tail.
tails <- function(name, x, par, cdf) {
  if (!is.finite(x) || abs(x) < 1e-300) return(invisible())
  x <- places(x)
  add(paste0(name, "LowerTail"), c(x, par), do.call(cdf, c(list(x), as.list(par))))
  add(paste0(name, "UpperTail"), c(x, par), do.call(cdf, c(list(x), as.list(par), lower.tail = FALSE)))
}

# --- normal ---
for (l in log_tails) for (s in c(-1, 1)) tails("normal", s * qnorm(l, lower.tail = FALSE, log.p = TRUE), NULL, pnorm)
for (x in c(0, 0.5, -0.5, 1, 1.959963985, 5, 8.3, 20, 37, -37)) tails("normal", x, NULL, pnorm)

# --- chi-square ---
for (df in c(1, 2, 3, 4, 5, 6, 9, 15, 30, 50, 99, 200, 201, 500, 1000, 5000, 1e5)) for (l in log_tails) {
  tails("chiSquare", qchisq(l, df, lower.tail = FALSE, log.p = TRUE), df, pchisq)
  if (df >= 5) tails("chiSquare", qchisq(l, df, log.p = TRUE), df, pchisq)
}
for (df in c(1, 2, 3)) for (x in c(1e-12, 1e-6, 0.001, 0.5)) tails("chiSquare", x, df, pchisq)

# --- Student's t ---
for (df in c(1, 2, 3, 4, 5, 8, 12, 29.5, 60, 150, 400, 1000, 9999, 2e5)) for (l in log_tails) for (s in c(-1, 1)) {
  x <- suppressWarnings(qt(l, df, lower.tail = FALSE, log.p = TRUE))
  if (is.finite(x) && abs(x) < 1e150) tails("t", s * x, df, pt)
}
for (df in c(1, 7, 1000)) for (x in c(1e-9, 0.01, 1)) tails("t", x, df, pt)

# --- F ---
for (d1 in c(1, 2, 3, 5, 10, 40, 300, 5000)) for (d2 in c(1, 2, 3, 6, 17, 50, 400, 20000)) for (l in log_tails) {
  x <- suppressWarnings(qf(l, d1, d2, lower.tail = FALSE, log.p = TRUE))
  if (is.finite(x) && x > 0 && x < 1e150) tails("f", x, c(d1, d2), pf)
}
for (d1 in c(2, 11)) for (d2 in c(3, 100)) for (x in c(1e-30, 1e-6, 0.01, 0.4, 1)) tails("f", x, c(d1, d2), pf)

# --- beta ---
for (a in c(0.5, 1, 2, 7, 33.5, 400, 12000)) for (b in c(0.5, 1, 3, 12, 150, 3000)) for (l in log_tails) {
  for (lower in c(TRUE, FALSE)) {
    x <- suppressWarnings(qbeta(l, a, b, lower.tail = lower, log.p = TRUE))
    if (is.finite(x) && x > 1e-290 && places(x) < 1) tails("beta", x, c(a, b), pbeta)
  }
}

# --- binomial: k, size, probability ---
for (n in c(1, 2, 7, 20, 101, 600, 1100, 30000)) for (p in c(0.5, 0.5, 0.03, 0.8, 0.999))
  for (share in c(0, 0.01, 0.1, 0.25, 0.4, 0.47, 0.5, 0.53, 0.7, 0.9, 1)) {
    k <- floor(n * share)
    # Lower: X at most k. Upper: X at least k.
    add("binomialLowerTail", c(k, n, p), pbinom(k, n, p))
    add("binomialUpperTail", c(k, n, p), pbinom(k - 1, n, p, lower.tail = FALSE))
    add("binomialDensity", c(k, n, p), dbinom(k, n, p))
  }

# --- Poisson, in logarithms ---
for (m in c(0.01, 0.7, 1, 3.3, 15, 200, 4000.5, 1e6)) for (k in unique(floor(c(0, 1, 2, m * c(0.3, 0.9, 1, 1.05, 2)))))
  add("logPoissonDensity", c(k, m), dpois(k, m, log = TRUE))

# --- quantiles, from the tail named ---
for (q in c(0.5, 0.4, 0.1, 0.05, 0.025, 0.005, 5e-04, 1e-06, 1e-10, 1e-20, 1e-100, 1e-300)) {
  add("normalQuantile", q, qnorm(q))
  add("normalUpperQuantile", q, qnorm(q, lower.tail = FALSE))
  for (df in c(1, 2, 3, 5, 10, 29, 100, 1234)) {
    add("chiSquareUpperQuantile", c(q, df), qchisq(q, df, lower.tail = FALSE))
    if (q >= 1e-20) add("chiSquareQuantile", c(q, df), qchisq(q, df))
  }
  for (df in c(1, 2, 3, 5, 10, 29, 100, 1234, 1e5)) if (q < 0.5 && q >= 1e-100) {
    add("tUpperQuantile", c(q, df), qt(q, df, lower.tail = FALSE))
    add("tQuantile", c(q, df), qt(q, df))
  }
  for (a in c(1, 2, 9, 80.5, 1500)) for (b in c(1, 3, 40, 700)) if (q >= 1e-10) {
    add("betaQuantile", c(q, a, b), qbeta(q, a, b))
    add("betaUpperQuantile", c(q, a, b), qbeta(q, a, b, lower.tail = FALSE))
  }
  for (d1 in c(1, 2, 4, 30)) for (d2 in c(2, 5, 60, 900)) if (q >= 1e-10)
    add("fUpperQuantile", c(q, d1, d2), qf(q, d1, d2, lower.tail = FALSE))
}

number <- function(x) {
  for (d in 15:17) {
    s <- sprintf("%.*g", d, x)
    if (as.numeric(s) == x) break
  }
  s
}
text <- vapply(rows, function(r)
  sprintf('["%s", [%s], %s]', r[[1]], paste(vapply(r[[2]], number, ""), collapse = ", "), number(r[[3]])), "")
text <- text[!duplicated(sub(", [^,]*$", "", text))]
here <- dirname(sub("^--file=", "", grep("^--file=", commandArgs(), value = TRUE)[1]))
writeLines(c("[", paste0(text, c(rep(",", length(text) - 1), "")), "]"), file.path(here, "distributions.json"))
cat(length(text), "values\n")
