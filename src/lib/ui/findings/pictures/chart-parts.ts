import { BoxAndWiskers, BoxPlotController } from '@sgratzl/chartjs-chart-boxplot';
import { BarController, BarElement, CategoryScale, Chart, Legend, LinearScale, LineElement } from 'chart.js';
import {
  BarWithErrorBar,
  BarWithErrorBarsController,
  PointWithErrorBar,
  ScatterWithErrorBarsController,
} from 'chartjs-chart-error-bars';
import { Flow, SankeyController } from 'chartjs-chart-sankey';

// Registered by parts: what no picture uses is not loaded.
Chart.register(
  BarController,
  BarElement,
  BarWithErrorBarsController,
  BarWithErrorBar,
  ScatterWithErrorBarsController,
  PointWithErrorBar,
  BoxPlotController,
  BoxAndWiskers,
  SankeyController,
  Flow,
  CategoryScale,
  LinearScale,
  LineElement,
  Legend,
);

export { Chart };
