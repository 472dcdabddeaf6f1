import type { ChartConfiguration, ChartOptions, Plugin, TooltipItem } from 'chart.js';
import { clock, decimal, distance, percent, percentNumber } from '../findings/sentences-numbers.ts';
import type {
  BoxesPicture,
  CoursePicture,
  FlowPicture,
  MarksPicture,
  Picture,
  StackPicture,
  Tone,
  Unit,
} from '../findings/series-picture.ts';
import type { ChartPalette } from './chart-palette.ts';
import { areaFill } from './chart-pattern.ts';
