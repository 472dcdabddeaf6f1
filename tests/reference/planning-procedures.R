#!/usr/bin/env Rscript
# Writes planning-procedures.json: what R 4.2.2 gives for the procedures behind a plan.
#
#   Rscript tests/reference/planning-procedures.R
#
# R's own functions throughout (pbinom, dbinom, qbinom, pchisq, quantile, dpois, dgeom), combined as each line says.

set.seed(20261126)
cases <- character(0)
num <- function(x) if (length(x) == 0 || is.na(x[1])) "null" else if (length(x) == 1) sprintf("%.17g", x) else paste0("[", paste(sprintf("%.17g", x), collapse = ","), "]")
obj <- function(l) paste0("{", paste(sprintf("\"%s\":%s", names(l), vapply(l, function(v) if (is.character(v)) sprintf("\"%s\"", v) else num(v), "")), collapse = ","), "}")
add <- function(procedure, input, expected) cases[[length(cases) + 1]] <<- sprintf("{\"procedure\":\"%s\",\"input\":%s,\"expected\":%s}", procedure, obj(input), obj(list(value = expected)))

# --- power of McNemar's test: every outcome b, c by the multinomial distribution, p-values by binomial sums ---
reject <- function(b, c, alpha, mid) {
  n <- b + c
  hi <- pmax(b, c)
  p <- pmin(1, 2 * pbinom(hi - 1, n, 0.5, lower.tail = FALSE))
  if (mid) p <- ifelse(b == c, 1, p - dbinom(hi, n, 0.5))
  p <= alpha * (1 + 1e-12)
}
power <- function(n, changed, theta, alpha, mid) {
  d <- rep(0:n, 0:n + 1)
  b <- sequence(0:n + 1) - 1
  sum((dbinom(d, n, changed) * dbinom(b, d, theta))[reject(b, d - b, alpha, mid)])
}
for (i in 1:60) {
  n <- sample(c(1:12, 50, 200, 900), 1)
  changed <- sample(c(0.001, 0.05, 0.11, 0.4, 1), 1)
  theta <- sample(c(0, 0.5, 0.6, 0.84, 1), 1)
  alpha <- sample(c(0.2, 0.05, 0.01, 0.001, 0.125), 1)
  mid <- runif(1) < 0.5
  add("mcnemarPower", list(pairs = n, changed = changed, gainedOfChanged = theta, alpha = alpha, variant = if (mid) "midP" else "exact"), power(n, changed, theta, alpha, mid))
}
for (s in list(c(0.3, 0.9), c(0.5, 0.75), c(1, 0.8), c(0.9, 1))) for (mid in c(FALSE, TRUE)) {
  n <- 1
  while (power(n, s[1], s[2], 0.05, mid) < 0.8) n <- n + 1
  add("mcnemarPairsNeeded", list(changed = s[1], gainedOfChanged = s[2], alpha = 0.05, power = 0.8, variant = if (mid) "midP" else "exact"), n)
}
# --- E floor(N/J): the distribution of N written out, batch by batch ---
sums_of <- function(a, b) vapply(seq_along(a), function(i) sum(a[1:i] * b[i:1]), 0)
multiples <- function(load, every, g) {
  size <- ceiling(load + 40 * g + 20 * sqrt((load + 1) * 2 * g)) + 100
  rest <- dgeom(0:size, 1 / g)                       # the rest of the batch of the one served
  total <- numeric(size + 1)
  conv <- c(1, numeric(size))                        # batches so far: their sum
  one <- c(0, dgeom(0:(size - 1), 1 / g))
  for (m in 0:qpois(1e-16, load / g, lower.tail = FALSE)) {
    total <- total + dpois(m, load / g) * conv
    conv <- sums_of(conv, one)
  }
  all <- sums_of(total, rest)
  sum(floor((0:size) / every) * all)
}
for (load in c(0, 0.3, 2.25, 12)) for (every in c(1, 2, 3, 5, 10, 40)) for (g in c(1, 1.3, 3))
  add("expectedMultiples", list(load = load, every = every, batchMean = g), multiples(load, every, g))
# --- non-central chi-square, quantiles of type 5, Erlang's loss as the truncated Poisson distribution ---
for (df in c(1, 3, 20)) for (ncp in c(0.01, 1, 11.147, 80, 400)) for (x in c(0.5, 3.841458820694124, 31.4, 300))
  add("noncentralChiSquare", list(x = x, df = df, noncentrality = ncp), { i <- 0:2000; sum(dpois(i, ncp / 2) * pchisq(x, df + 2 * i, lower.tail = FALSE)) })
for (n in c(1, 2, 7, 30)) { v <- sort(round(rnorm(n, 100, 20), 1)); for (p in c(0, 0.1, 0.375, 0.5, 0.99, 1)) add("quantileType5", list(values = if (n == 1) rep(v, 2)[1] else v, probability = p), quantile(v, p, names = FALSE, type = 5)) }
for (m in 0:6) for (a in c(0, 0.4, 3, 50)) add("erlangLoss", list(servers = m, load = a), dpois(m, a) / ppois(m, a))
writeLines(c("[", paste0(cases, c(rep(",", length(cases) - 1), "")), "]"), "tests/reference/planning-procedures.json")
