#!/usr/bin/env Rscript
# Simulations behind the plan: what the closed forms assume, played out.   Rscript simulate-planning.R [runs]
source("planning.R")
set.seed(20261126)
runs <- if (length(commandArgs(TRUE))) as.integer(commandArgs(TRUE)[1]) else 200
# One observer, every J-th runner, packs: events one by one.
one <- function(load, J, pack, n = 4e5) {
  packs <- rgeom(n / pack, 1 / pack) + 1
  at <- rep(cumsum(rexp(length(packs), load / pack)), packs)   # time in units of one classing
  due <- at[seq(J, length(at), by = J)]
  free <- -1; hit <- 0
  for (x in due) if (x >= free) { hit <- hit + 1; free <- x + 1 }
  hit / length(due)
}
for (s in list(c(2.25, 1, 1), c(2.25, 5, 1), c(8, 4, 1), c(1, 3, 2), c(5, 10, 1.6), c(0.7, 1, 3))) {
  a <- classed_of_due(s[1], s[2], s[3]); b <- one(s[1], s[2], s[3])
  cat(sprintf("load %.2f every %d pack %.1f: formula %.4f, events %.4f\n", s[1], s[2], s[3], a, b))
}
# Insensitivity: for j = 1 and one observer other classing times with the same mean.
for (kind in c("fixed", "exponential", "gamma, sd half the mean")) {
  at <- cumsum(rexp(4e5, 2.25)); u <- switch(kind, fixed = rep(1, 4e5), exponential = rexp(4e5), rgamma(4e5, 4, 4))
  free <- -1; hit <- 0; for (i in seq_along(at)) if (at[i] >= free) { hit <- hit + 1; free <- at[i] + u[i] }
  cat(sprintf("load 2.25, everyone, %s time: %.4f (formula %.4f)\n", kind, hit / 4e5, 1 / 3.25))
}
for (J in c(3, 5)) { at <- cumsum(rgamma(2e5, J, 2.25)); u <- rgamma(2e5, 4, 4)
  free <- -1; hit <- 0; for (i in seq_along(at)) if (at[i] >= free) { hit <- hit + 1; free <- at[i] + u[i] }
  cat(sprintf("load 2.25, every %d-th, gamma time (sd half the mean): %.4f (formula, fixed time, %.4f)\n", J, hit / 2e5, classed_of_due(2.25, J, 1))) }
# A whole race with random arrivals inside the flow of case `defaults`: quarters, classed, pairs.
assumed <- character(0); plan <- read_plan("cases-plan/defaults/plan.json", FALSE)
expected <- fromJSON("cases-plan/defaults/expected.json", simplifyVector = FALSE)
whole_race <- function(noise, k = 1, endings = 1) replicate(runs, {
  own <- runif(1200) < endings
  n <- 1200; T <- sort(plan$median * exp(plan$spread * rnorm(n))); q <- floor(4 * (0:(n - 1)) / n) + 1
  delay <- line_delay(plan, n); dnf <- sample(n) <= 0.05 * n; out <- runif(n) * 42.195
  seen <- sapply(c(10, 32), function(km) {
    here <- which(!(dnf & out < km)); ms <- delay + (T - delay) * km / 42.195 * exp(noise * rnorm(n)); here <- here[order(ms[here])]
    hit <- logical(n); free <- -1
    here <- here[own[here]]; here <- here[seq(k, length(here), by = k)]
    for (i in here) if (ms[i] >= free) { hit[i] <- TRUE; free <- ms[i] + 3 }
    hit & runif(n) < 0.97 * 0.94
  })
  c(colSums(seen), sum(seen[, 1] & seen[, 2]), tapply(seen[, 1], q, mean))
})
for (noise in c(0, 0.001, 0.01, 0.03)) {
sim <- whole_race(noise)
m <- rowMeans(sim)
cat(sprintf("defaults, pace at a checkpoint off its share by %.1f %% (sd), %d races: classified early %.1f (expected %.1f), late %.1f (%.1f), pairs %.1f sd %.1f (%.1f)\n", 100 * noise, runs, m[1],
            expected$expected$checkpoints[[1]]$classified, m[2], expected$expected$checkpoints[[2]]$classified, m[3], sd(sim[3, ]), expected$expected$pairs))
cat("  early share by quarter: simulated", sprintf("%.3f", m[4:7]), " expected", sprintf("%.3f", unlist(expected$capacity[[1]]$everyone$quarterShare) * 0.97 * 0.94), "\n")
}
for (r in list(list("every 3", 3, 1, "every", 3), list("3 endings of 10", 1, 0.3, "endings", 0.3))) {
  m <- rowMeans(whole_race(0.02, r[[2]], r[[3]]))
  c <- Filter(function(c) c$rule$kind == r[[4]] && abs((if (r[[4]] == "every") c$rule$k else c$rule$share) - r[[5]]) < 1e-9, expected$candidates)[[1]]
  cat(sprintf("%s: classified early %.1f (expected %.1f), late %.1f (%.1f), pairs %.1f (%.1f)\n", r[[1]], m[1], c$classified[[1]], m[2], c$classified[[2]], m[3], c$pairs))
}
# McNemar power, chi-square power, kappa's width, double sampling: random tables.
s <- expected$shift; n <- s$pairs
tabs <- rmultinom(20000, n, c(s$gained, s$lost, 1 - s$changed))
ex <- apply(tabs, 2, function(x) { k <- x[1] + x[2]; if (k == 0) c(1, 1) else { e <- min(1, 2 * pbinom(max(x[1:2]) - 1, k, 0.5, lower.tail = FALSE)); c(e, if (x[1] == x[2]) 1 else e - dbinom(x[1], k, 0.5)) } })
cat(sprintf("McNemar, %d pairs: power exact %.4f (%.4f), mid-p %.4f (%.4f)\n", n, mean(ex[1, ] <= 0.05), s$power$exact, mean(ex[2, ] <= 0.05), s$power$midP))
z <- expected$separate; x1 <- rbinom(20000, z$early, 0.79); x2 <- rbinom(20000, z$late, 0.8648); p <- (x1 + x2) / (z$early + z$late)
chi <- (x1 / z$early - x2 / z$late)^2 / (p * (1 - p) * (1 / z$early + 1 / z$late))
cat(sprintf("chi-square, separate samples: power %.4f (%.4f)\n", mean(chi >= qchisq(0.95, 1)), z$rearfoot$power))
pi <- c(3584, 358, 48) / 3990; tab <- 0.2 * outer(pi, pi) + 0.8 * diag(pi); N <- expected$agreement$units
kk <- apply(rmultinom(20000, N, tab), 2, function(x) { t <- matrix(x, 3) / N; ch <- sum(rowSums(t) * colSums(t)); (sum(diag(t)) - ch) / (1 - ch) })
cat(sprintf("kappa, %d units: 2 x 1.96 x sd = %.4f (asked: 0.2)\n", N, 2 * qnorm(0.975) * sd(kk)))
N <- expected$agreement$ac1$units; e <- expected$agreement$ac1$estimate
aa <- apply(rmultinom(20000, N, tab), 2, function(x) { t <- matrix(x, 3) / N; w <- (rowSums(t) + colSums(t)) / 2; ch <- sum(w * (1 - w)) / 2; (sum(diag(t)) - ch) / (1 - ch) })
cat(sprintf("AC1, %d units: 2 x 1.96 x sd = %.4f (asked: 0.2), mean %.4f (%.4f)\n", N, 2 * qnorm(0.975) * sd(aa), mean(aa), e))
for (nm in c(455, 2000)) { m <- round(nm * 0.2); est <- replicate(20000, {
  true <- rbinom(1, m, 0.79); a <- rbinom(1, true, 0.95); b <- rbinom(1, m - true, 0.15); rest <- rbinom(1, nm - m, 0.782)
  seen1 <- a + b; # p = Pr(true | seen 1) share(seen 1) + Pr(true | seen 0) share(seen 0)
  s1 <- (seen1 + rest) / nm; (if (seen1) a / seen1 else 0) * s1 + (if (m > seen1) (true - a) / (m - seen1) else 0) * (1 - s1) })
  K <- expected$validation$reliability; v <- 0.79 * 0.21 * ((1 - K) / m + K / nm)
  cat(sprintf("double sampling, %d runners, %d clips: sd %.5f (Tenenbein %.5f), mean %.4f\n", nm, m, sd(est), sqrt(v), mean(est))) }
