#!/usr/bin/env Rscript
# What a researcher might write in R for the core of the job, to time beside `kerbside analyse`:
#   Rscript analyse-peer.R SIGHTINGS.csv RESULTS.csv
# data.table reads both files and resolves the sightings; base R does shares, McNemar and Kruskal-Wallis.
suppressPackageStartupMessages(library(data.table))
paths <- commandArgs(trailingOnly = TRUE)
seen <- fread(paths[1], colClasses = c(bib = "character", record_id = "character"), showProgress = FALSE)
field <- fread(paths[2], colClasses = c(bib = "character"), showProgress = FALSE)

# One entry of each observer for each runner at each checkpoint: the latest.
seen <- unique(seen, by = "record_id")[bib != ""]
setorder(seen, observed_at, record_id)
seen <- seen[, .SD[.N], by = .(observer, method, checkpoint, bib), .SDcols = c("km", "left", "right")]

# The class that most observers gave each foot.
feet <- melt(seen, id.vars = c("km", "bib"), measure.vars = c("left", "right"), variable.name = "side", value.name = "foot")
tally <- feet[foot != "unseen", .N, by = .(km, bib, side, foot)]
setorder(tally, km, bib, side, -N)
tally <- tally[, .(foot = foot[1], tie = .N > 1 && N[1] == N[2]), by = .(km, bib, side)][tie == FALSE]
runners <- dcast(tally, km + bib ~ side, value.var = "foot")[!is.na(left) & !is.na(right)]
runners[, class := ifelse(left == right, left, "asymmetric")]

print(runners[, .N, by = .(km, class)][order(km, class)])
ends <- range(runners$km)
both <- merge(runners[km == ends[1]], runners[km == ends[2]], by = "bib", suffixes = c(".early", ".late"))
print(mcnemar.test(table(both$class.early == "rearfoot", both$class.late == "rearfoot"), correct = FALSE)$p.value)
timed <- merge(runners[km == ends[1]], field[finish != ""], by = "bib")
seconds <- vapply(strsplit(as.character(timed$finish), ":", fixed = TRUE), function(p) sum(as.numeric(p) * c(3600, 60, 1)), 0)
print(kruskal.test(seconds, factor(timed$class))$p.value)
